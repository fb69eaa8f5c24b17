#include "sea/raster/bathymetry_statements.hpp"

#include "swingroom/base/error.hpp"

#include "sea/files/days.hpp"
#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"

#include <cpl_conv.h>
#include <ogr_spatialref.h>

#include <array>
#include <cmath>
#include <string_view>
#include <utility>

namespace swingroom::bathymetry {
namespace {

std::optional<double> metres_per(std::string_view word) {
    struct Name {
        std::string_view name;
        double metres;
    };
    constexpr double foot = 0.3048, survey_foot = 1200.0 / 3937; // exact: 1959 agreement; US survey foot
    static constexpr Name names[] = {{"m", 1},
                                     {"metre", 1},
                                     {"metres", 1},
                                     {"meter", 1},
                                     {"meters", 1},
                                     {"dm", 0.1},
                                     {"cm", 0.01},
                                     {"mm", 0.001},
                                     {"km", 1000},
                                     {"ft", foot},
                                     {"foot", foot},
                                     {"feet", foot},
                                     {"us-ft", survey_foot},
                                     {"ftus", survey_foot},
                                     {"sfoot", survey_foot},
                                     {"foot_us", survey_foot},
                                     {"us survey foot", survey_foot},
                                     {"us survey feet", survey_foot},
                                     {"fm", 6 * foot},
                                     {"fathom", 6 * foot},
                                     {"fathoms", 6 * foot}};
    for (const Name& known : names) {
        if (known.name == word) return known.metres;
    }
    return std::nullopt;
}

/// What the file says of its sign: true for depths, positive down. Nothing if it does not say.
/// CF conventions: attribute `positive`; standard names of depths and of heights.
std::optional<bool> stated_sign(GDALDataset& dataset, GDALRasterBand& band, const std::string& file,
                                std::string& by) {
    const std::string driver = driver_of(dataset);
    if (driver == "BAG") {
        by = "BAG";
        return false; // BAG format specification: elevation, whatever axis the vertical CRS names
    }
    if (driver == "S102" && lower(band.GetDescription()) == "depth") {
        by = "S-102";
        return true;
    }
    std::optional<bool> sign;
    const auto take = [&](bool down, const std::string& source) {
        if (sign && *sign != down) {
            throw InputError(file, "contradicts itself on its sign (" + by + ", " + source + ")",
                             "correct its metadata");
        }
        sign = down;
        by = source;
    };
    for (GDALMajorObject* const object :
         {static_cast<GDALMajorObject*>(&band), static_cast<GDALMajorObject*>(&dataset)}) {
        const std::string positive = lower(metadata(*object, "positive"));
        if (positive == "up" || positive == "down") {
            take(positive == "down", "attribute positive=" + positive);
        }
        const std::string name = lower(metadata(*object, "standard_name"));
        const auto has = [&](std::string_view part) { return name.find(part) != std::string::npos; };
        if (name == "depth" || has("depth_below")) take(true, "standard name " + name);
        if (name == "height" || name == "altitude" || has("altitude") || has("height_above")) {
            take(false, "standard name " + name);
        }
    }
    return sign;
}

const char* direction(bool down) { return down ? "down" : "up"; }

/// The part of the text that names a low-water datum of charts; empty when there is none.
/// Names as in IHO S-57 attribute VERDAT and in the EPSG registry. "Mean low water" alone is left out:
/// levelling networks and charts mean different things by it.
std::string chart_datum_in(const std::string& text) {
    const std::string name = " " + lower(text) + " ";
    constexpr std::array phrases = {"mean lower low water",    "lowest astronomical tide",
                                    "mean low water springs",  "lower low water large tide",
                                    "lowest low water",        "low water datum",
                                    "indian spring low water", "chart datum"};
    for (const std::string_view phrase : phrases) {
        if (name.find(phrase) != std::string::npos) return std::string(phrase);
    }
    constexpr std::array words = {"mllw", "lat", "llwlt", "mlws", "islw"};
    const auto is_letter = [](char c) { return c >= 'a' && c <= 'z'; };
    for (const std::string_view word : words) {
        for (auto at = name.find(word); at != std::string::npos; at = name.find(word, at + 1)) {
            if (!is_letter(name[at - 1]) && !is_letter(name[at + word.size()])) {
                std::string upper(word);
                for (char& c : upper) {
                    c = static_cast<char>(c - 'a' + 'A');
                }
                return upper;
            }
        }
    }
    return {};
}

/// "meanLowerLowWater", as S-100 writes names, in words of their own.
std::string in_words(const std::string& name) {
    std::string words;
    for (const char c : name) {
        if (c >= 'A' && c <= 'Z' && !words.empty() && words.back() >= 'a') words += ' ';
        words += c;
    }
    return words;
}

/// Names of the vertical datum as the file's CRS has them, or S-102 by its own attribute; empty when it has
/// none.
std::string vertical_name(GDALDataset& dataset) {
    if (driver_of(dataset) == "S102") return in_words(metadata(dataset, "VERTICAL_DATUM_MEANING"));
    const OGRSpatialReference* const crs = dataset.GetSpatialRef();
    if (!crs || !crs->IsVertical()) return {};
    const std::string system = text_or_empty(crs->GetAttrValue("VERT_CS")),
                      datum = text_or_empty(crs->GetAttrValue("VERT_DATUM"));
    return system == datum ? system : system + " / " + datum;
}

StatedUnit read_unit(const std::string& text) {
    if (const auto whole = metres_per(lower(text))) return {text, whole};
    const auto blank = text.find(' ');
    if (blank != std::string::npos) {
        if (const auto first = metres_per(lower(text.substr(0, blank)))) {
            return {text, first, text.substr(blank + 1)};
        }
    }
    return {text};
}

} // namespace

StatedUnit stated_unit(GDALDataset& dataset, GDALRasterBand& band) {
    for (const std::string& text :
         {text_or_empty(band.GetUnitType()), metadata(band, "units"), metadata(dataset, "units")}) {
        if (!text.empty()) return read_unit(text);
    }
    return {};
}

double unit_of(const StatedUnit& stated, bool metres_by_format, const BathymetryRequest& request,
               std::vector<Fact>& notes) {
    std::optional<double> said;
    if (request.depth_unit) {
        said = metres_per(lower(*request.depth_unit));
        if (!said) {
            throw InputError(Setting::depth_unit, in_quotes(*request.depth_unit) + " is not a unit of depth",
                             "use one of m, dm, cm, ft, us-ft, fm");
        }
    }
    if (metres_by_format && stated.text.empty()) {
        if (said && *said != 1) {
            throw InputError(request.file,
                             "its format holds metres, which " + Setting::depth_unit + " contradicts",
                             "leave " + Setting::depth_unit + " out");
        }
        notes.push_back({"unit", "metres", Fact::Kind::read, "by format"});
        return 1;
    }
    if (stated.metres) {
        if (said && *said != *stated.metres) {
            throw InputError(request.file,
                             "states the unit " + in_quotes(stated.text) + ", which " + Setting::depth_unit +
                                 " " + *request.depth_unit + " contradicts",
                             "leave " + Setting::depth_unit + " out");
        }
        notes.push_back({"unit", stated.text, Fact::Kind::read, "file"});
        return *stated.metres;
    }
    if (!stated.text.empty() && !said) {
        throw UnsaidError(Setting::depth_unit, request.file,
                          "states the unit " + in_quotes(stated.text) + ", which is not known",
                          "say what it is with " + Setting::depth_unit);
    }
    if (said) {
        notes.push_back(stated_fact("unit", *request.depth_unit));
        return *said;
    }
    throw UnsaidError(Setting::depth_unit, request.file, "does not say its unit",
                      "give " + Setting::depth_unit + " m, dm, cm, ft, us-ft or fm");
}

Sign sign_of(GDALDataset& dataset, const BandValues& depths, const BathymetryRequest& request,
             std::vector<Fact>& notes) {
    const std::optional<bool> said = request.positive_down;
    std::string by;
    const std::optional<bool> stated = stated_sign(dataset, *depths.band, request.file, by);
    if (stated && said && *stated != *said) {
        throw InputError(request.file,
                         std::string("is positive ") + direction(*stated) + " (" + by + "), which " +
                             Setting::positive + " " + direction(*said) + " contradicts",
                         "leave " + Setting::positive + " out");
    }
    if (!stated && !said) {
        throw UnsaidError(
            Setting::positive, request.file,
            "does not say whether its values are depths or heights; " + value_range(depths, request.file),
            "give " + Setting::positive + " up if the negative ones are under water (heights), or " +
                Setting::positive + " down if the positive ones are (depths)");
    }
    const bool down = stated.value_or(said.value_or(false));
    const std::string sign = std::string("positive ") + direction(down);
    notes.push_back(stated ? Fact{"sign", sign, Fact::Kind::read, by} : stated_fact("sign", sign));
    return {down, !stated};
}

double chart_datum_of(GDALDataset& dataset, const StatedUnit& unit, const BathymetryRequest& request,
                      const std::string& by_raster, std::vector<Fact>& notes) {
    const GdalMessages messages; // asking a CRS for a part that it lacks is no error here
    const std::string vertical = vertical_name(dataset);
    std::string known = chart_datum_in(vertical);
    if (known.empty()) known = chart_datum_in(unit.rest);
    if (request.chart_datum_file) {
        notes.push_back(stated_fact("chart datum",
                                    by_raster + " above the raster's datum, by " + *request.chart_datum_file,
                                    known.empty() ? "" : "the file names " + known));
        return 0;
    }
    if (request.chart_datum_m) {
        if (!std::isfinite(*request.chart_datum_m) || std::abs(*request.chart_datum_m) > highest_datum_m) {
            throw InputError(Setting::chart_datum,
                             plain(*request.chart_datum_m) + " m is no height of a datum",
                             "give metres above the raster's own datum");
        }
        notes.push_back(stated_fact("chart datum",
                                    plain(*request.chart_datum_m) + " m above the raster's datum",
                                    known.empty() ? "" : "the file names " + known));
        return *request.chart_datum_m;
    }
    if (known.empty()) {
        throw UnsaidError(Setting::chart_datum, request.file,
                          vertical.empty() ? "does not say how its vertical datum lies to chart datum"
                                           : "is on the vertical datum " + in_quotes(vertical) +
                                                 ", and how chart datum lies to it is not known",
                          "give the height of chart datum above it with " + Setting::chart_datum +
                              ", for example 0.35 or -1.2 m (0 if it is chart datum)");
    }
    notes.push_back({"chart datum", known + ", the raster's own datum", Fact::Kind::read, "file"});
    return 0;
}

std::string foreign_datum_of(GDALDataset& dataset, const StatedUnit& unit) {
    const GdalMessages messages; // as above
    for (const std::string& named : {vertical_name(dataset), unit.rest}) {
        if (!named.empty() && chart_datum_in(named).empty()) return named;
    }
    return {};
}

std::string datum_of(GDALDataset& dataset, const StatedUnit& unit) {
    const GdalMessages messages; // as above
    const std::string vertical = vertical_name(dataset);
    return vertical.empty() ? unit.rest : vertical;
}

bool survey_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<Fact>& notes) {
    const std::string driver = driver_of(dataset);
    const bool by_format = driver == "BAG" || driver == "S102";
    const bool is_survey = request.survey.value_or(by_format);
    if (request.survey) {
        notes.push_back(stated_fact("survey", is_survey ? "yes" : "no: a model",
                                    by_format == is_survey ? ""
                                    : by_format            ? "its format says yes"
                                                           : ""));
    } else if (by_format) {
        notes.push_back({"survey", "yes", Fact::Kind::read, "by format"});
    }
    return is_survey;
}

int survey_day_of(GDALDataset& dataset, std::vector<Fact>& notes) {
    const GdalMessages messages; // asking for what a file lacks is no error
    int day = 0;
    std::string by;
    if (driver_of(dataset) == "BAG") {
        // ISO 19115: the temporal extent of the data; a file of several has several.
        char** const xml = dataset.GetMetadata("xml:BAG");
        const std::string_view text = xml != nullptr && *xml != nullptr ? *xml : "";
        constexpr std::string_view end = "endPosition>";
        for (auto at = text.find(end); at != std::string_view::npos; at = text.find(end, at + 1)) {
            const int found = latest_day(text.substr(at + end.size(), 10));
            if (found != 0 && (day == 0 || found < day)) day = found;
        }
        by = "the end of its time";
        if (day == 0) {
            day = latest_day(metadata(dataset, "BAG_DATETIME"));
            by = "when the file was made";
        }
    } else if (driver_of(dataset) == "S102") {
        day = latest_day(metadata(dataset, "issueDate"));
        by = "when it was issued";
    }
    notes.push_back(day != 0 ? Fact{"surveyed", "by " + day_text(day), Fact::Kind::read, by}
                             : Fact{"surveyed", "nothing says when: look whether the chart is newer"});
    return day;
}

double uncertainty_unit_of(GDALRasterBand& band, double depth_unit_m, const BathymetryRequest& request) {
    const StatedUnit own = read_unit(text_or_empty(band.GetUnitType()));
    if (own.text.empty()) return depth_unit_m;
    if (!own.metres) {
        throw UnsaidError(Setting::uncertainty, request.file,
                          "its uncertainty band states the unit " + in_quotes(own.text) +
                              ", which is not known",
                          "say how far its depths may be off with " + Setting::uncertainty);
    }
    return *own.metres;
}

DepthUncertainty uncertainty_of(int band, const BathymetryRequest& request, std::vector<Fact>& notes) {
    if (request.uncertainty && request.uncertainty->kind() == DepthUncertainty::Kind::band && band == 0) {
        throw InputError(request.file,
                         "has no uncertainty band, which " + Setting::uncertainty + " band asks for",
                         "give " + Setting::uncertainty + " in metres, as a,b or as a zone of confidence");
    }
    if (!request.uncertainty && band == 0) {
        throw UnsaidError(Setting::uncertainty, request.file, "has no uncertainty band",
                          "say how far its depths may be off with " + Setting::uncertainty +
                              ", for example 0.5 (metres), 0.5,0.013 (a,b as in IHO S-44) or B (a zone of "
                              "confidence); 0 says there is none");
    }
    DepthUncertainty used = request.uncertainty ? *request.uncertainty : DepthUncertainty::band();
    if (used.kind() == DepthUncertainty::Kind::band) {
        notes.push_back({"uncertainty", "band " + std::to_string(band) + " of the file; above " +
                                            plain(useless_uncertainty_m) + " m a cell counts as unsurveyed"});
    } else {
        notes.push_back(stated_fact("uncertainty", used.text()));
    }
    return used;
}

void tell_scaling(GDALDataset& dataset, int band, const std::string& file, const std::string& what,
                  std::vector<Fact>& notes) {
    const auto scaling_of = [band](GDALDataset& from) {
        GDALRasterBand& values = *from.GetRasterBand(band);
        return std::pair(values.GetScale(), values.GetOffset());
    };
    const auto [scale, offset] = scaling_of(dataset);
    if (scale == 1 && offset == 0) return;
    const std::string sidecar = file + ".aux.xml";
    const GdalMessages quiet;
    const CPLConfigOptionSetter without_sidecar("GDAL_PAM_ENABLED", "NO", false);
    const std::string driver = driver_of(dataset);
    const char* const drivers[] = {driver.c_str(), nullptr};
    const GDALDatasetUniquePtr alone(
        GDALDataset::Open(dataset.GetDescription(), GDAL_OF_RASTER | GDAL_OF_READONLY, drivers));
    const bool by_file =
        !alone || alone->GetRasterCount() < band || scaling_of(*alone) == std::pair(scale, offset);
    notes.push_back(
        {what, plain(scale) + ", offset " + plain(offset), Fact::Kind::read, by_file ? "file" : sidecar});
}

} // namespace swingroom::bathymetry
