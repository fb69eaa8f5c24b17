#pragma once

#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace swingroom {

/// Working memory that threads lend each other, for const calls that need much of it: memory that is new each
/// time is handed out by the system page by page, which takes longer than to fill it. It holds as many as
/// were ever in use together.
template <class T>
class ScratchPool {
    struct GiveBack {
        ScratchPool* pool;
        void operator()(T* scratch) const {
            const std::lock_guard lock(pool->mutex_);
            pool->idle_.emplace_back(scratch);
        }
    };

public:
    /// Its content is what whoever had it last has left there. It must not outlive the pool.
    using Lent = std::unique_ptr<T, GiveBack>;

    [[nodiscard]] Lent lend() {
        const std::lock_guard lock(mutex_);
        std::unique_ptr<T> scratch;
        if (idle_.empty()) {
            scratch = std::make_unique<T>();
        } else {
            scratch = std::move(idle_.back());
            idle_.pop_back();
        }
        return Lent(scratch.release(), GiveBack{this});
    }

private:
    std::mutex mutex_;
    std::vector<std::unique_ptr<T>> idle_;
};

} // namespace swingroom
