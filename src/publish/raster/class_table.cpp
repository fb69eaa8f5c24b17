#include "publish/raster/class_table.hpp"

#include "base/json.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal_rat.h>

#include <array>
#include <cstddef>

namespace swingroom {
namespace {

void put_attribute_table(GDALRasterBand& band, const std::vector<Category>& categories) {
    GDALDefaultRasterAttributeTable table;
    table.CreateColumn("Value", GFT_Integer, GFU_MinMax);
    table.CreateColumn("Name", GFT_String, GFU_Name);
    table.CreateColumn("Red", GFT_Integer, GFU_Red);
    table.CreateColumn("Green", GFT_Integer, GFU_Green);
    table.CreateColumn("Blue", GFT_Integer, GFU_Blue);
    table.CreateColumn("Alpha", GFT_Integer, GFU_Alpha);
    table.SetTableType(GRTT_THEMATIC);
    int row = 0;
    for (const Category& category : categories) {
        table.SetValue(row, 0, category.value);
        table.SetValue(row, 1, valid_utf8(category.name).c_str());
        for (std::size_t part = 0; part < category.rgba.size(); ++part) {
            table.SetValue(row, 2 + static_cast<int>(part), category.rgba.at(part));
        }
        ++row;
    }
    band.SetDefaultRAT(&table);
}

} // namespace

void put_classes(GDALRasterBand& band, const std::vector<Category>& categories) {
    CPLStringList names;
    GDALColorTable colours;
    int next = 0;
    for (const Category& category : categories) {
        while (next <= category.value) {
            names.AddString("");
            ++next;
        }
        CPLFree(names.List()[category.value]);
        names.List()[category.value] = CPLStrdup(valid_utf8(category.name).c_str());
        const auto [red, green, blue, alpha] = category.rgba;
        const GDALColorEntry colour{red, green, blue, alpha};
        colours.SetColorEntry(category.value, &colour);
    }
    band.SetCategoryNames(names.List());
    if (band.GetRasterDataType() == GDT_Byte) band.SetColorTable(&colours);
    put_attribute_table(band, categories);
}

} // namespace swingroom
