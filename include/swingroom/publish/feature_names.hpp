#pragma once

#include "swingroom/room/effect.hpp"
#include "swingroom/room/verdict.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// What stands before the names of a run's features, so that those of several runs are told apart on one
/// plotter: capital letters and digits.
class NamePrefix {
public:
    /// None.
    NamePrefix() = default;
    /// Reads "hav" as HAV; no text is no prefix.
    /// @throws InputError naming `where`: a character that old plotters drop, or letters which a code behind
    ///         them turns into another code
    static NamePrefix parse(std::string_view text, std::string_view where);
    /// So much of it that a code and a number of so many digits behind it end with the eighth character.
    [[nodiscard]] std::string_view before(std::size_t digits) const;
    /// That of a name of ours.
    static NamePrefix of_name(std::string_view name);

private:
    std::string text_;
};

// Names of features: prefix, a code of three letters, number. Old plotters keep eight characters or six, all
// capitals, and drop what is neither letter nor digit: what tells one name from another comes that early, and
// a name that was cut never reads as more than it is. So the code comes first that says how she lies, and
// where that depends on the sounder it begins with IF: FUL, SHO, SNK at full scope, at short scope, with a
// sinker; IFF, IFS, IFK if the sounder allows it; BLK, blocked, if no way leads there. No name of a run is
// another's of any of these kinds.

/// "FUL01", "IFS12"; the number has as many digits as that of `of`, at least two.
/// @param rank  from 1   @param of  how many there are   @param verdict  a yes, or out of reach
std::string spot_name(std::size_t rank, std::size_t of, Verdict verdict, const NamePrefix& prefix = {});
/// Of the swinging circle of that drop point: "CFU01", "CIS12".
std::string circle_name(std::size_t rank, std::size_t of, Verdict verdict, const NamePrefix& prefix = {});
/// "ZFU7", "ZIS118".   @param number  from 1   @param verdict  a yes
std::string zone_name(std::int64_t number, Verdict verdict, const NamePrefix& prefix = {});
/// By the worst that it forbids: "XHU7" a hull, "XGR8" anchor and rode, "XDR9" letting go; "XAD10" advises.
std::string exclusion_name(std::int64_t number, Effects effects, const NamePrefix& prefix = {});

/// Of the way in to that drop point: "WAY01".
std::string way_name(std::size_t rank, std::size_t of, const NamePrefix& prefix = {});
/// Of the shoalest place of a way in that is named: "SIL01"; under its prefix, like the next.
std::string sill_name(const std::string& of);
/// Of one of its turns, its ends among them: "TRA01", "TRB12", the letter being that of the way, the second
/// way's B.   @param rank  of the way, at most 26   @param number  from 1
std::string turn_name(std::size_t rank, std::size_t number, const std::string& of);

/// Of a hole in the feature that is named: "HOZ1" in a zone, "HOX1" in an exclusion; under its prefix.
/// @param number  from 1, in all features of the layer   @param of  the feature's name
std::string hole_name(std::int64_t number, const std::string& of);
/// Of a further part of a feature that is drawn in several: "PAZ1".
std::string part_name(std::int64_t number, const std::string& of);

/// Prefixes of three characters for runs over several places, each with one boat or more, that no two runs
/// share and NamePrefix::parse() takes: letters of the place's name, in their order as far as that tells it
/// apart, and where there are several boats which one it is, from 1, beyond 9 from A.
/// @param places  what they are called, in UTF-8; at most 500   @param boats  1 to 30
/// @returns for each place one for each boat, in their orders
std::vector<std::vector<std::string>> prefixes_of_places(const std::vector<std::string>& places,
                                                         std::size_t boats);
/// What a feature of one of several runs is called among those of all: with the whole prefix of its run,
/// which its own name has only as far as there is room. No two are the same; of features with numbers below
/// 10000 none has more than ten characters.
/// @param name  of a feature of that run   @param prefix  of that run, as prefixes_of_places() has it
std::string name_among_runs(const std::string& name, const std::string& prefix);

} // namespace swingroom
