#include "publish/part/run_columns.hpp"

#include "base/byte_stream.hpp"

#include <bit>
#include <cstddef>
#include <tuple>
#include <type_traits>
#include <utility>

namespace swingroom {
namespace {

/// All members of a run and of its figures: what is added to either does not compile until it is kept here.
auto members(auto& run) {
    auto& [begin, end, verdict, figures, out_of_reach] = run;
    auto& [low_min, low_max, deep, limit, rode_min, rode_max, radius_min, radius_max, wind_kn, spare, needed,
           access, advice, seabeds, ways, plain_ways, hardly] = figures;
    auto& [wind_full_kn, wind_short_kn, wind_sinker_kn] = wind_kn;
    return std::tie(begin, end, verdict, out_of_reach, low_min, low_max, deep, limit, rode_min, rode_max,
                    radius_min, radius_max, wind_full_kn, wind_short_kn, wind_sinker_kn, spare, needed,
                    access, advice, seabeds, ways, plain_ways, hardly);
}

/// Calls `column` for each of them, with a function from a run to that member.
template <class Column>
void each_column(const Column& column) {
    constexpr std::size_t count = std::tuple_size_v<decltype(members(std::declval<Run&>()))>;
    [&]<std::size_t... i>(std::index_sequence<i...>) {
        (column([](auto& run) -> auto& { return std::get<i>(members(run)); }), ...);
    }
    (std::make_index_sequence<count>());
}

template <class T>
using WordOf = std::conditional_t<sizeof(T) == 1, std::uint8_t,
                                  std::conditional_t<sizeof(T) == 2, std::uint16_t, std::uint32_t>>;

template <class T>
WordOf<T> word_of(const T& value) {
    static_assert(sizeof(T) <= 4);
    return std::bit_cast<WordOf<T>>(value);
}

template <class T>
bool is_value(WordOf<T> word) {
    if constexpr (std::is_same_v<T, bool>) return word <= 1;
    if constexpr (std::is_same_v<T, Verdict>) return word < verdict_phrases.size();
    return true;
}

void write_counts(const BlockRuns& runs, ByteWriter& to) {
    for (const std::vector<Run>& row : runs) {
        to.number(static_cast<std::uint32_t>(row.size()));
    }
}

/// The columns of runs that are there already.
class ColumnWriter {
public:
    ColumnWriter(const BlockRuns& runs, std::size_t count, std::vector<std::uint8_t>& to)
        : runs_(runs), count_(count), to_(to) {}

    template <class Member>
    void operator()(const Member& member) const {
        using Value = std::remove_cvref_t<decltype(member(runs_.front().front()))>;
        const std::size_t begin = to_.size();
        to_.resize(begin + count_ * sizeof(Value));
        std::uint8_t* at = to_.data() + begin;
        WordOf<Value> before = 0;
        for (const std::vector<Run>& row : runs_) {
            for (const Run& run : row) {
                const auto word = word_of(member(run));
                const auto changed = static_cast<WordOf<Value>>(word ^ before);
                for (std::size_t byte = 0; byte < sizeof(Value); ++byte) {
                    at[byte * count_] = static_cast<std::uint8_t>(changed >> (8 * byte));
                }
                before = word;
                ++at;
            }
        }
    }

private:
    const BlockRuns& runs_;
    std::size_t count_;
    std::vector<std::uint8_t>& to_;
};

/// Fills the runs of rows that are as long as they should be.
class ColumnReader {
public:
    ColumnReader(BlockRuns& runs, std::size_t count, ByteReader& from)
        : runs_(runs), count_(count), from_(from) {}

    template <class Member>
    void operator()(const Member& member) const {
        using Value = std::remove_cvref_t<decltype(member(runs_.front().front()))>;
        const std::uint8_t* at = from_.bytes(count_ * sizeof(Value)).data();
        WordOf<Value> before = 0;
        for (std::vector<Run>& row : runs_) {
            for (Run& run : row) {
                WordOf<Value> changed = 0;
                for (std::size_t byte = 0; byte < sizeof(Value); ++byte) {
                    changed = static_cast<WordOf<Value>>(
                        changed | static_cast<WordOf<Value>>(static_cast<WordOf<Value>>(at[byte * count_])
                                                             << (8 * byte)));
                }
                before = static_cast<WordOf<Value>>(before ^ changed);
                if (!is_value<Value>(before)) from_.refuse("holds a run of a kind that is not known");
                member(run) = std::bit_cast<Value>(before);
                ++at;
            }
        }
    }

private:
    BlockRuns& runs_;
    std::size_t count_;
    ByteReader& from_;
};

/// Whether the runs of a row lie within the block, one behind the other.
bool are_in_order(const std::vector<Run>& row, Window core) {
    int end = core.col;
    for (const Run& run : row) {
        if (run.begin < end || run.end <= run.begin || !is_yes(run.verdict)) return false;
        end = run.end;
    }
    return end <= core.col_end();
}

} // namespace

std::vector<std::uint8_t> to_columns(const BlockRuns& runs) {
    ByteWriter counts;
    std::size_t count = 0;
    for (const std::vector<Run>& row : runs) {
        count += row.size();
    }
    write_counts(runs, counts);
    std::vector<std::uint8_t> bytes = counts.all();
    if (count > 0) each_column(ColumnWriter(runs, count, bytes));
    return bytes;
}

BlockRuns from_columns(std::span<const std::uint8_t> bytes, Window core, const std::string& name) {
    ByteReader from(bytes, name);
    BlockRuns runs(static_cast<std::size_t>(core.rows));
    std::size_t count = 0;
    for (std::vector<Run>& row : runs) {
        const auto of_row = from.number<std::uint32_t>();
        if (of_row > static_cast<std::uint32_t>(core.cols)) from.refuse("holds more runs than cells");
        row.resize(of_row);
        count += of_row;
    }
    if (count > 0) each_column(ColumnReader(runs, count, from));
    from.require_end();
    for (const std::vector<Run>& row : runs) {
        if (!are_in_order(row, core)) from.refuse("holds runs that lie nowhere in their block");
    }
    return runs;
}

} // namespace swingroom
