#include "room/ring_paths.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace swingroom {
namespace {

/// A number as for_each_step() reads it.
struct PackedStep {
    explicit PackedStep(std::int64_t cells) {
        auto bits = static_cast<std::uint64_t>(cells) << 1;
        if (cells < 0) bits = ~bits;
        while (bits >= 0x80) {
            bytes[count++] = static_cast<char>((bits & 0x7fu) | 0x80u);
            bits >>= 7;
        }
        bytes[count++] = static_cast<char>(bits);
    }
    std::array<char, 10> bytes{};
    std::size_t count = 0;
};

} // namespace

void Steps::append(int cells) {
    const PackedStep step(cells);
    after_.append(step.bytes.data(), step.count);
}

void Steps::prepend(int cells) {
    const PackedStep step(cells);
    before_.append(step.bytes.rend() - static_cast<std::ptrdiff_t>(step.count), step.bytes.rend());
}

void Steps::append(Steps&& other) {
    if (size() >= other.size()) {
        after_.append(other.before_.rbegin(), other.before_.rend());
        after_.append(other.after_);
    } else {
        other.before_.append(after_.rbegin(), after_.rend());
        other.before_.append(before_);
        *this = std::move(other);
    }
}

std::string Steps::packed() && {
    std::string all;
    all.reserve(size());
    all.append(before_.rbegin(), before_.rend());
    all.append(after_);
    return all;
}

std::vector<GridPoint> PackedRing::corners() const {
    std::vector<GridPoint> ring;
    ring.reserve(1 + static_cast<std::size_t>(std::count_if(steps.begin(), steps.end(), [](char c) {
                     return (static_cast<std::uint8_t>(c) & 0x80u) == 0;
                 })));
    std::size_t first = 0;
    GridPoint at{static_cast<double>(col), static_cast<double>(row)};
    bool level = true;
    for_each_step(steps, [&](std::int64_t cells) {
        if (!ring.empty() && std::pair(at.y, at.x) < std::pair(ring[first].y, ring[first].x)) {
            first = ring.size();
        }
        ring.push_back(at);
        (level ? at.x : at.y) += static_cast<double>(cells);
        level = !level;
    });
    std::rotate(ring.begin(), ring.begin() + static_cast<std::ptrdiff_t>(first), ring.end());
    ring.push_back(ring.front());
    return ring;
}

RingPaths::Side RingPaths::begin_side(int col) {
    Side side = free_side_;
    if (side == none) {
        side = static_cast<Side>(sides_.size());
        sides_.emplace_back();
    } else {
        free_side_ = sides_[side].path;
    }
    sides_[side] = {col, none};
    return side;
}

std::optional<PackedRing> RingPaths::link(Side from, Side to, int row) {
    const Path before = sides_[from].path, behind = sides_[to].path;
    if (before == none && behind == none) {
        sides_[from].path = sides_[to].path = add_path(row, from, to);
    } else if (before == none) {
        come_up(from, behind, row);
    } else if (behind == none) {
        go_on_down(before, to, row);
    } else if (before == behind) {
        return close(before, row);
    } else {
        join(before, behind, row);
    }
    return std::nullopt;
}

RingPaths::Path RingPaths::add_path(int row, Side first, Side last) {
    Path path = free_path_;
    if (path == none) {
        path = static_cast<Path>(paths_.size());
        paths_.emplace_back();
    } else {
        free_path_ = paths_[path].first;
    }
    paths_[path] = {sides_[first].col, row, sides_[last].col, row, first, last, {}};
    paths_[path].steps.append(sides_[last].col - sides_[first].col);
    return path;
}

void RingPaths::go_on_down(Path path, Side to, int row) {
    OpenPath& on = paths_[path];
    release(on.last);
    on.steps.append(row - on.last_row);
    on.steps.append(sides_[to].col - on.last_col);
    on.last_col = sides_[to].col;
    on.last_row = row;
    on.last = to;
    sides_[to].path = path;
}

void RingPaths::come_up(Side from, Path path, int row) {
    OpenPath& on = paths_[path];
    release(on.first);
    on.steps.prepend(on.first_row - row);
    on.steps.prepend(on.first_col - sides_[from].col);
    on.first_col = sides_[from].col;
    on.first_row = row;
    on.first = from;
    sides_[from].path = path;
}

void RingPaths::join(Path path, Path behind, int row) {
    OpenPath &on = paths_[path], &other = paths_[behind];
    release(on.last);
    release(other.first);
    on.steps.append(row - on.last_row);
    on.steps.append(other.first_col - on.last_col);
    on.steps.append(other.first_row - row);
    on.steps.append(std::move(other.steps));
    on.last_col = other.last_col;
    on.last_row = other.last_row;
    on.last = other.last;
    sides_[on.last].path = path;
    release_path(behind);
}

PackedRing RingPaths::close(Path path, int row) {
    OpenPath& on = paths_[path];
    release(on.last);
    release(on.first);
    on.steps.append(row - on.last_row);
    on.steps.append(on.first_col - on.last_col);
    on.steps.append(on.first_row - row);
    PackedRing ring{on.first_col, on.first_row, std::move(on.steps).packed()};
    release_path(path);
    return ring;
}

void RingPaths::release(Side side) {
    sides_[side].path = free_side_;
    free_side_ = side;
}

void RingPaths::release_path(Path path) {
    paths_[path].steps = {};
    paths_[path].first = free_path_;
    free_path_ = path;
}

} // namespace swingroom
