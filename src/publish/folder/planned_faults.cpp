#include "publish/folder/planned_faults.hpp"

#include <atomic>

namespace swingroom::guarded {
namespace {

std::atomic<std::int64_t> fault_at(0), fault_calls(0);
std::atomic<int> fault_error(0);
std::atomic<bool> fault_lasts(false);
std::atomic<Calls> fault_kind(Calls::changes);

} // namespace

int planned_error(Calls kind) {
    if (kind != fault_kind) return 0;
    const std::int64_t call = ++fault_calls, at = fault_at;
    if (at == 0 || call < at || (call > at && !fault_lasts)) return 0;
    return fault_error;
}

void plan_fault(Fault fault) {
    fault_kind = fault.calls;
    fault_error = fault.error;
    fault_lasts = fault.lasting;
    fault_calls = 0;
    fault_at = fault.at;
}

std::int64_t calls_since_fault_planned() { return fault_calls; }

} // namespace swingroom::guarded
