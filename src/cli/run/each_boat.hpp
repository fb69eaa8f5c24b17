#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/base/input_errors.hpp"

#include <exception>
#include <functional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// Does something with each of several boats. What cannot be done with several of them is told of all in one
/// go; of one it is told as it is.
/// @param file_of  which file a boat is of   @param act  what may throw an InputError of a boat
/// @throws InputError, and whatever else `act` throws
template <class Boats, class FileOf, class Act>
void each_boat(Boats& boats, FileOf file_of, Act act) {
    std::vector<Fault> faults;
    std::exception_ptr first;
    for (auto& boat : boats) {
        try {
            act(boat);
        } catch (const InputError& error) {
            const std::string& file = std::invoke(file_of, boat);
            const bool names_her = error.where().text().starts_with(file);
            faults.push_back({names_her ? error.where() : file + ": " + error.where(), error});
            if (!first) first = std::current_exception();
        }
    }
    if (faults.size() == 1) std::rethrow_exception(first);
    throw_if_any("--boat", faults);
}

} // namespace swingroom::cli
