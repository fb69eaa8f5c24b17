#pragma once

#include <cstdint>
#include <string>

/// Inputs are read by GDAL through a file system of ours, which remembers the first call to the disk that
/// failed. Most drivers take a read that fails for the end of the file, a sidecar that cannot be looked at
/// for one that is not there, and say nothing: what is missing then is missing without a word.
namespace swingroom::watched {

/// The name by which GDAL is to open a file or folder of the user's.
std::string gdal_name(const std::string& path);
/// The file itself, of a name that GDAL tells; other names stay as they are.
std::string file_of(const std::string& gdal_name);
/// A message of GDAL's with the file's own name in it.
std::string plainly(std::string message);

/// To be asked when a file has been read, and before what was read is used for good.
/// @throws IoError  a call for any input has failed; it is forgotten then
void throw_if_failed();

/// For tests: the call that has this number from here on, counted from 1, fails as a broken disk makes it
/// fail; 0: none does.
void plan_fault(std::int64_t at);
/// How many calls there have been since plan_fault().
std::int64_t calls_since_fault_planned();

} // namespace swingroom::watched
