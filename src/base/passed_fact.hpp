#pragma once

#include "swingroom/base/fact.hpp"

#include "base/byte_stream.hpp"

namespace swingroom {

/// A fact as bytes: see pass() of base/byte_stream.hpp.
template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Fact>& fact) {
    pass_all(bytes, fact.name, fact.value);
    pass_enum(bytes, fact.kind, Fact::Kind::warning);
    pass_all(bytes, fact.by, fact.of);
}

} // namespace swingroom
