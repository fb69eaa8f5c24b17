#include "room/insides.hpp"

#include <array>
#include <cmath>

namespace swingroom {
namespace {

/// An edge of a ring, the lower end first, with the rows whose centre lines it crosses. An end on such a line
/// counts as above it, so that every line is crossed an even number of times.
struct Edge {
    GridPoint low, high;
    int row_first, row_last;
};

std::vector<Edge> crossing_edges(const Shape& shape, Window extent) {
    std::vector<Edge> edges;
    for (const auto& ring : shape.rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            GridPoint low = ring[i], high = ring[(i + 1) % ring.size()];
            if (low.y > high.y) std::swap(low, high);
            const Edge edge{
                low, high, clamped_to_int(std::ceil(low.y - 0.5), extent.row, extent.row_end()),
                clamped_to_int(std::ceil(high.y - 0.5) - 1, extent.row - 1, extent.row_end() - 1)};
            if (edge.row_first <= edge.row_last) edges.push_back(edge);
        }
    }
    std::sort(edges.begin(), edges.end(),
              [](const Edge& a, const Edge& b) { return a.row_first < b.row_first; });
    return edges;
}

/// Adds the columns whose centres lie between crossings 0 and 1, 2 and 3, ... of a row's centre line.
void add_spans(std::vector<double>& crossings, Window extent, std::vector<Insides::Span>& spans) {
    std::sort(crossings.begin(), crossings.end());
    const std::size_t before = spans.size();
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
        const Insides::Span span{
            clamped_to_int(std::ceil(crossings[i] - 0.5), extent.col, extent.col_end()),
            clamped_to_int(std::ceil(crossings[i + 1] - 0.5) - 1, extent.col - 1, extent.col_end() - 1)};
        if (span.first > span.last) continue;
        if (spans.size() > before && span.first <= spans.back().last + 1) {
            spans.back().last = std::max(spans.back().last, span.last);
        } else {
            spans.push_back(span);
        }
    }
}

} // namespace

void Insides::add(const Shape& shape, std::uint32_t index) {
    const std::vector<Edge> edges = crossing_edges(shape, within_);
    if (edges.empty()) return;
    std::vector<Edge> active; // those that may cross the rows at hand
    std::array<std::vector<double>, rows_each> crossings;
    std::size_t next = 0;
    int first = edges.front().row_first;
    while (next < edges.size() || !active.empty()) {
        if (active.empty()) first = edges[next].row_first;
        const int end = std::min(within_.row_end(), (first / rows_each + 1) * rows_each);
        while (next < edges.size() && edges[next].row_first < end) {
            active.push_back(edges[next++]);
        }
        for (const Edge& e : active) {
            for (int row = std::max(first, e.row_first), last = std::min(end - 1, e.row_last); row <= last;
                 ++row) {
                crossings[static_cast<std::size_t>(row - first)].push_back(
                    e.low.x + (row + 0.5 - e.low.y) / (e.high.y - e.low.y) * (e.high.x - e.low.x));
            }
        }
        add_rows(index, first, std::span(crossings).first(static_cast<std::size_t>(end - first)));
        std::erase_if(active, [&](const Edge& e) { return e.row_last < end; });
        first = end;
    }
}

void Insides::add_rows(std::uint32_t index, int first, std::span<std::vector<double>> crossings) {
    const Interior interior{index, first, static_cast<int>(crossings.size()), row_starts_.size()};
    const std::size_t first_span = spans_.size();
    for (std::vector<double>& of_row : crossings) {
        row_starts_.push_back(static_cast<std::uint32_t>(spans_.size()));
        add_spans(of_row, within_, spans_);
        of_row.clear();
    }
    row_starts_.push_back(static_cast<std::uint32_t>(spans_.size()));
    if (spans_.size() == first_span) {
        row_starts_.resize(interior.starts);
        return;
    }
    Box box{within_.col_end(), first, within_.col - 1, first + interior.rows - 1};
    for (std::size_t i = first_span; i < spans_.size(); ++i) {
        box.col_first = std::min(box.col_first, spans_[i].first);
        box.col_last = std::max(box.col_last, spans_[i].last);
    }
    interiors_.push_back(interior);
    boxes_.push_back(box);
}

void Insides::arrange(Window extent) {
    tree_ = arranged(interiors_, boxes_, extent);
    boxes_ = {};
    row_starts_.shrink_to_fit();
    spans_.shrink_to_fit();
}

} // namespace swingroom
