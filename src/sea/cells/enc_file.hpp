#pragma once

#include <gdal_priv.h>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

/// What can be wrong with the files of an S-57 cell that GDAL would pass over.
namespace swingroom {

/// The name that a cell's update of this number has: "chart.007" beside "chart.000".
std::filesystem::path update_of(const std::filesystem::path& cell, int number);
/// How many updates lie beside a cell in an unbroken row from .001 on.
int updates_beside(const std::filesystem::path& cell);
/// @throws InputError  an update beyond the first that is missing, which could not be applied
void refuse_missing_updates(const std::string& file);
/// Updates that are cut off or broken are passed over by GDAL without a word; the header tells how far it
/// came.
/// @throws IoError
void require_updates(const std::string& file, GDALDataset& cell);

/// Whether a layer of a cell holds its pieces of geometry, and no objects.
bool is_primitive(std::string_view layer);
/// Whether a file is an S-101 data set, by its first bytes: some GDALs open one as a cell that is empty
/// (3.6), others not at all (3.10).
bool is_s101(const std::string& file);
/// @throws InputError  an S-101 data set
void refuse_s101(const std::string& file);
/// @throws InputError  an S-101 data set, or a cell without a single object
void refuse_empty_cell(const std::string& file, GDALDataset& cell);
/// How many records of objects a cell's own file holds, without its updates; nothing if it is laid out in a
/// way that only GDAL reads. By the leaders and directories of its records (ISO/IEC 8211), up to where it is
/// cut off.
std::optional<std::int64_t> object_records_in(const std::string& file);
/// Whether a piece of geometry of a cell, or of its updates, may state how accurate its position is (POSACC),
/// or of what quality (QUAPOS). By the bytes alone: `true` also where others look like it, or where the file
/// is laid out in a way that only GDAL reads.
bool may_state_accuracies(const std::string& file);
/// A cell tells how many objects it has.
/// @param told_by  opened with or without its updates   @throws IoError  it is cut off
void require_all_objects(const std::string& file, GDALDataset& told_by, std::int64_t found);
/// How many objects there are in all layers of a cell that was opened without its updates, soundings in
/// bundles.
std::int64_t objects_in(GDALDataset& cell);
/// Whether a file is a cell, by its first bytes, as GDAL's driver sees it.
bool is_cell_file(const std::string& gdal_name);

/// What GDAL only warns of in a cell, though an area, a line or a number is not what the cell says.
bool is_loss_in_cell(std::string_view warning);

} // namespace swingroom
