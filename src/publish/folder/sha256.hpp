#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

namespace swingroom {

/// SHA-256 (FIPS 180-4) of bytes that come piece by piece.
class Sha256 {
public:
    /// Of no bytes so far.
    Sha256();
    Sha256(const Sha256&) = delete;
    Sha256& operator=(const Sha256&) = delete;
    ~Sha256();
    /// Goes on with these bytes; not to be called after hex().
    void add(std::string_view bytes);
    /// The digest in lower-case hex; ends the sum.
    [[nodiscard]] std::string hex();

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace swingroom
