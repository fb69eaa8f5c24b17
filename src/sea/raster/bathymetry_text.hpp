#pragma once

#include <string>
#include <string_view>

/// Small texts for what is said of a raster.
namespace swingroom::bathymetry {

/// ASCII letters only: words of file formats, not of languages.
std::string lower(std::string_view text);
/// A text between double quotes, for messages; quotes within it stay as they are.
std::string in_quotes(std::string_view text);
/// A number as short as it can be said, locale-free.
std::string plain(double value);
/// To the hundredth: for a sentence, not for a calculation.
std::string rounded(double value);
/// How to declare a mark for missing data in a file of this format: "gdal_edit.py -a_nodata -9999", or where
/// GDAL cannot change such a file by writing another one.
/// @param mark  empty for any
std::string declaring_nodata(std::string_view driver, std::string_view mark);
/// GDAL says "nothing" with a null pointer.
std::string text_or_empty(const char* text);

} // namespace swingroom::bathymetry
