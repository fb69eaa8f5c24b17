#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/markup.hpp"
#include "swingroom/base/message.hpp"

#include <cstdint>
#include <string>
#include <vector>

/// Small pieces that sections of the report's page are made of.
namespace swingroom {

/// A section: its name in the list of contents, and what it holds; left out when that is nothing.
struct Section {
    /// Unique in the page, and what stands over it.
    std::string id, heading;
    Markup content; ///< without the heading
};

/// Nothing of an empty text.
Markup paragraph(const std::string& text);
/// Names and values.   @param style  a class of the style sheet
Markup fact_list(const std::vector<Fact>& facts, const char* style = "facts");
/// A list of points.
Markup item_list(const std::vector<std::string>& texts, const Attributes& attributes = {});
/// What messages say, in their order.
std::vector<std::string> texts_of(const std::vector<Message>& messages);
/// "1 zone", "2 zones".
std::string counted(std::int64_t count, const char* one, const char* several);

} // namespace swingroom
