#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// A text of columns under a line of names, with remarks.
struct ColumnText {
    struct Row {
        int line = 0; ///< from 1
        std::vector<std::string> fields;
    };
    std::map<std::string, std::string> remarks; ///< of "# key: text"; the key in small letters
    std::vector<std::string> names;             ///< of the columns, in small letters
    std::vector<Row> rows;
    std::string where;

    /// @throws InputError naming a line: a row has more or fewer fields than there are names, a remark is
    /// there
    ///                    twice with another text, there are no rows
    static ColumnText parse(std::string_view text, std::string_view where);

    /// The column with one of these names.   @throws InputError  two columns have one
    [[nodiscard]] std::optional<std::size_t> column(const std::vector<std::string_view>& any_of) const;
    /// A remark's text, or an empty one.
    [[nodiscard]] std::string remark(const std::string& key) const;
    /// "FILE:LINE", as messages begin.
    [[nodiscard]] std::string place(const Row& row) const;
};

} // namespace swingroom
