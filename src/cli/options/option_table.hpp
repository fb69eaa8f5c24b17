#pragma once

#include <boost/program_options.hpp>

#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// What an option is about, in the order of the help. Those of the tide and of the last two are listed by
/// name alone there, so that it fits a screen; the manual tells of all.
enum class Group { plain, looked_at, boat, tide, comes_out, seldom, run };
/// The heading of a group in help and manual.
std::string_view title(Group group);
/// Whether the help lists the group's options without their texts.
bool by_name_alone(Group group);

/// The options of a command: the one table that help, man pages, completion and plans are made from. The
/// first line of an option's text is for the help, what follows is for the manual. The name of its value says
/// what it is: FILE and FOLDER are paths, `up|down` are all words it may be; see words_of().
class Options : public boost::program_options::options_description {
public:
    /// Options that are added from here on belong to this group.
    void group(Group group) { from_.insert_or_assign(options().size(), group); }
    /// The group of the option that was declared as the index-th.
    [[nodiscard]] Group group_of(std::size_t index) const;

private:
    std::map<std::size_t, Group> from_;
};

/// A value that is kept as text.   @param value_name  what help and completion call it
inline auto* text_value(const char* value_name) {
    return boost::program_options::value<std::string>()->value_name(value_name);
}
/// The same for an option that may be given several times.
inline auto* text_values(const char* value_name) {
    return boost::program_options::value<std::vector<std::string>>()->value_name(value_name);
}

/// An option as people read it.
struct OptionRow {
    std::string name;           ///< without dashes
    std::string value;          ///< the value's name; empty for a switch
    std::string if_not_given;   ///< the default; empty where there is none
    std::string brief, more;    ///< one line; the rest
    Group group = Group::plain; ///< what it is about
    bool repeatable = false;    ///< whether it may be given several times

    /// `--positive up|down`
    [[nodiscard]] std::string usage() const;
    /// The brief text and the default.
    [[nodiscard]] std::string line() const;
};
/// All options, in the order in which they were declared.
std::vector<OptionRow> rows(const Options& options);

/// All words that a value of this name may be; empty where it may be anything. `LAYER,...` is a list of them.
std::vector<std::string> words_of(std::string_view value_name);
/// Whether a value of this name is a list, with commas between its words.
bool is_list(std::string_view value_name);

} // namespace swingroom::cli
