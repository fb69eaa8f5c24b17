#include "report/map_file.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/publish/provenance.hpp"

#include "report/map_style.hpp"
#include "report/stay_water.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

constexpr double margin = 18, line = 17, legend_column = 345, legend_row = 31, most_columns = 3;

std::string units(double value) { return fixed(value, 1); }

/// The words in lines of so many letters at the most, as far as the words let them.
std::vector<std::string> wrapped(std::string_view words, std::size_t letters) {
    std::vector<std::string> lines(1);
    while (!words.empty()) {
        const std::size_t end = std::min(words.find(' '), words.size());
        std::string& last = lines.back();
        if (last.empty() || last.size() + 1 + end <= letters) {
            last += (last.empty() ? "" : " ") + std::string(words.substr(0, end));
        } else {
            lines.emplace_back(words.substr(0, end));
        }
        words.remove_prefix(std::min(end + 1, words.size()));
    }
    return lines;
}

/// A drawing that grows downwards.
class Sheet {
public:
    explicit Sheet(double width) : width_(width) {}

    void words(std::string_view text, const char* style, double height = line) {
        constexpr double letter = 6.1;
        for (const std::string& one :
             wrapped(text, static_cast<std::size_t>((width_ - 2 * margin) / letter))) {
            y_ += height;
            content_ +=
                text_element("text", {{"class", style}, {"x", units(margin)}, {"y", units(y_)}}, one) + "\n";
        }
    }
    void gap(double height) { y_ += height; }
    void add(const Markup& markup) { content_ += markup; }
    [[nodiscard]] double y() const { return y_; }
    [[nodiscard]] double width() const { return width_; }
    [[nodiscard]] double height() const { return y_ + margin; }
    [[nodiscard]] const Markup& content() const { return content_; }

private:
    double width_, y_ = margin;
    Markup content_;
};

Attributes placed(double x, double y, double width, double height) {
    return {{"x", units(x)}, {"y", units(y)}, {"width", units(width)}, {"height", units(height)}};
}

void add_legend(Sheet& sheet, const std::vector<LegendItem>& items) {
    const auto columns =
        static_cast<std::size_t>(std::clamp((sheet.width() - 2 * margin) / legend_column, 1.0, most_columns));
    const std::size_t rows = (items.size() + columns - 1) / columns;
    for (std::size_t i = 0; i < items.size(); ++i) {
        const std::size_t column = i / rows, row = i % rows;
        const double x = margin + legend_column * static_cast<double>(column),
                     y = sheet.y() + legend_row * static_cast<double>(row);
        sheet.add(
            element("g",
                    {{"class", "map-sign"}, {"transform", "translate(" + units(x) + " " + units(y) + ")"}},
                    items[i].sign + text_element("text", {{"x", "54"}, {"y", "16"}}, items[i].words)) +
            "\n");
    }
    sheet.gap(legend_row * static_cast<double>(rows));
}

/// "1: yes, at full scope", "rode 32.0 m, radius 44.1 m", in lines that fit above an inset.
std::vector<std::string> caption_of(const FinishedFeature& spot, std::size_t number, const Measures& measures,
                                    double width) {
    const auto length = [&](const char* name) {
        return length_text(spot.number(name), Rounded::up, measures);
    };
    constexpr double letter = 6.4;
    std::vector<std::string> lines = wrapped(std::to_string(number) + ": " + spot.text("meaning"),
                                             static_cast<std::size_t>(width / letter));
    lines.push_back("rode " + length("rode_m") + ", radius " + length("radius_m"));
    return lines;
}

void add_insets(Sheet& sheet, const RunMaps& maps, const std::vector<FinishedFeature>& spots,
                const Measures& measures, MapColours colours) {
    if (maps.insets() == 0) return;
    constexpr double gap = 14, of_row = 4;
    const double width = (sheet.width() - 2 * margin - (of_row - 1) * gap) / of_row;
    std::vector<std::vector<std::string>> captions;
    std::size_t most_lines = 0;
    for (std::size_t i = 0; i < maps.insets(); ++i) {
        captions.push_back(caption_of(spots[i], i + 1, measures, width));
        most_lines = std::max(most_lines, captions.back().size());
    }
    const double top = sheet.y() + line * (static_cast<double>(most_lines) + 0.5);
    double tallest = 0;
    for (std::size_t i = 0; i < maps.insets(); ++i) {
        const GridPoint size = maps.size(i + 1);
        const double x = margin + static_cast<double>(i) * (width + gap), height = width * size.y / size.x;
        tallest = std::max(tallest, height);
        double y = sheet.y();
        for (const std::string& words : captions[i]) {
            y += line;
            sheet.add(text_element("text", {{"class", "small"}, {"x", units(x)}, {"y", units(y)}}, words) +
                      "\n");
        }
        sheet.add(maps.inset(i, colours, placed(x, top, width, height)));
    }
    sheet.gap(top - sheet.y() + tallest + line);
}

} // namespace

Markup map_sheet(const RunMaps& maps, const ReportInput& input, const std::vector<FinishedFeature>& spots,
                 MapColours colours) {
    const Conditions& conditions = input.conditions;
    const GridPoint whole = maps.size(0);
    constexpr double least_width = 2 * margin + most_columns * legend_column;
    Sheet sheet(std::max(least_width, whole.x + 2 * margin));
    const std::string title = "Where can " + input.boat_name + " lie at anchor?";
    sheet.words(title, "title", 26);
    sheet.words(fixed(conditions.wind_kn, 1) + " kn of wind planned; water " +
                    stay_levels_text(conditions.water, input) + "; she needs " +
                    length_text(input.required_depth_m, Rounded::up, input.measures) + " of water.",
                "", 24);
    sheet.gap(line);
    sheet.add(maps.whole(colours, placed(margin, sheet.y(), whole.x, whole.y)));
    sheet.gap(whole.y + line);
    add_legend(sheet, maps.legend(colours));
    add_insets(sheet, maps, spots, input.measures, colours);
    sheet.words(std::string(caution) +
                    " The answer is as good as what it is given; a circle may cross what is "
                    "a no: she may swing over it, but not let go there.",
                "small");
    sheet.words("swingroom " + std::string(version()), "small");
    const std::string width = units(sheet.width()), height = units(sheet.height());
    return element("svg",
                   {{"xmlns", "http://www.w3.org/2000/svg"},
                    {"class", "map-sheet"},
                    {"width", width},
                    {"height", height},
                    {"viewBox", "0 0 " + width + " " + height}},
                   "\n" + text_element("title", title) + "\n" +
                       text_element("metadata", provenance_json(input.provenance)) + "\n" +
                       element("style", map_style(colours)) + "\n" +
                       empty_element("rect", {{"class", "paper"}, {"width", width}, {"height", height}}) +
                       "\n" + sheet.content()) +
           "\n";
}

} // namespace swingroom
