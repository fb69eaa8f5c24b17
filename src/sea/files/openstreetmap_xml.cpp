#include "swingroom/base/error.hpp"

#include "sea/files/input_text.hpp"
#include "sea/files/openstreetmap_elements.hpp"

#include <charconv>
#include <cmath>
#include <system_error>
#include <utility>

namespace swingroom {
namespace {

using Kind = OpenStreetMapFile::Kind;
using Attributes = XmlVisitor::Attributes;

std::int64_t id_of(const Attributes& attributes, const char* name, const InputBytes& at) {
    const std::string* const text = attribute(attributes, name);
    std::int64_t id = 0;
    if (text) {
        const char* const end = text->data() + text->size();
        const auto [rest, error] = std::from_chars(text->data(), end, id);
        if (error == std::errc{} && rest == end) return id;
    }
    throw InputError(at.place(), std::string("has an element without a whole number as its ") + name,
                     "mend it, or take the element out");
}

void require_position(const Attributes& attributes, const InputBytes& at) {
    for (const char* which : {"lat", "lon"}) {
        const std::string* const value = attribute(attributes, which);
        if (!value || !is_decimal_number(*value)) {
            throw InputError(at.place() + ", node",
                             value ? std::string("its ") + which + " is \"" + value->substr(0, 40) +
                                         "\", no number"
                                   : std::string("has no ") + which,
                             "mend it, or take the node out");
        }
    }
}

/// Elements as they close.
class Elements : public XmlVisitor {
public:
    explicit Elements(const VisitElement& visit) : visit_(visit) {}

    void begins(const std::string& name, const Attributes& attributes, const InputBytes& at) override {
        if (name == "node" || name == "way" || name == "relation") {
            element_ = {};
            element_.object = {kind_of(name), id_of(attributes, "id", at)};
            const std::string* const action = attribute(attributes, "action");
            const std::string* const visible = attribute(attributes, "visible");
            deleted_ = (action && *action == "delete") || (visible && *visible == "false");
            if (name == "node" && !deleted_) require_position(attributes, at);
        } else if (name == "nd") {
            element_.parts.emplace_back(Kind::node, id_of(attributes, "ref", at));
        } else if (name == "member") {
            const std::string* const type = attribute(attributes, "type");
            element_.parts.emplace_back(kind_of(type ? *type : ""), id_of(attributes, "ref", at));
        } else if (name == "tag") {
            const std::string* const key = attribute(attributes, "k");
            const std::string* const value = attribute(attributes, "v");
            if (key && value) element_.take_tag(*key, *value);
        }
    }
    void ends(const std::string& name, const InputBytes&) override {
        const bool is_element = name == "node" || name == "way" || name == "relation";
        // An editor keeps what somebody has deleted until it is uploaded: it is no longer there.
        if (is_element && !deleted_) visit_(element_);
    }

private:
    static Kind kind_of(const std::string& name) {
        return name == "node" ? Kind::node : name == "way" ? Kind::way : Kind::relation;
    }

    const VisitElement& visit_;
    OpenStreetMapElement element_;
    bool deleted_ = false;
};

} // namespace

void each_xml_element(const std::string& path, const VisitElement& visit) {
    InputBytes in(path);
    Elements elements(visit);
    each_element(in, elements);
}

} // namespace swingroom
