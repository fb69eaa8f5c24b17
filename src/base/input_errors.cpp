#include "swingroom/base/input_errors.hpp"

#include <cassert>
#include <string>
#include <utility>

namespace swingroom {
namespace {

Message line_of(const Fault& fault) { return fault.where + ": " + fault.error.complaint(); }

std::string count_of(const std::vector<Fault>& faults) {
    return std::to_string(faults.size()) + " things are to be mended";
}

Message in_one_line(const std::vector<Fault>& faults) {
    Message all;
    for (const Fault& fault : faults) {
        all += (&fault == &faults.front() ? "" : " | ") + line_of(fault);
    }
    return all;
}

} // namespace

InputErrors::InputErrors(const Message& where, const std::vector<Fault>& faults)
    : InputError(where, count_of(faults), in_one_line(faults)) {
    assert(faults.size() > 1);
    Lists lists{where + ": " + count_of(faults), {}};
    for (const Fault& fault : faults) {
        lists.lines.push_back(line_of(fault));
    }
    lists_ = std::make_shared<const Lists>(std::move(lists));
}

void throw_if_any(const Message& where, const std::vector<Fault>& faults) {
    if (faults.size() > 1) throw InputErrors(where, faults);
    if (!faults.empty()) throw InputError(faults.front().error);
}

} // namespace swingroom
