#include "sea/files/seamarks.hpp"

#include "sea/files/attributes.hpp"
#include "sea/files/seamark_schema.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <new>
#include <span>
#include <string_view>

namespace swingroom {
namespace {

using namespace seamark_schema;

/// Tags by their name with underscores in the place of colons: programs that know no colons write them so.
using Tags = std::map<std::string, std::string>;

std::string flat(std::string_view name) {
    std::string out(name);
    std::replace(out.begin(), out.end(), ':', '_');
    return out;
}

/// Tags that OGR bundles as "key"=>"value","key"=>"value".
void add_bundled(const std::string& bundle, Tags& tags) {
    const auto quoted = [&](std::size_t& at) {
        std::string text;
        for (++at; at < bundle.size() && bundle[at] != '"'; ++at) {
            if (bundle[at] == '\\' && at + 1 < bundle.size()) ++at;
            text += bundle[at];
        }
        ++at;
        return text;
    };
    for (std::size_t at = bundle.find('"'); at < bundle.size(); at = bundle.find('"', at)) {
        const std::string key = quoted(at);
        at = bundle.find('"', at);
        if (at >= bundle.size()) return;
        const std::string value = quoted(at);
        if (key.starts_with("seamark")) tags[flat(key)] = value;
    }
}

Tags tags_of(const OGRFeature& feature) {
    Tags tags;
    for (int i = 0; i < feature.GetFieldCount(); ++i) {
        if (!feature.IsFieldSetAndNotNull(i)) continue;
        const std::string name = feature.GetDefnRef()->GetFieldDefn(i)->GetNameRef();
        if (name == "other_tags" || name == "all_tags") {
            add_bundled(feature.GetFieldAsString(i), tags);
        } else if (name.starts_with("seamark")) {
            tags[flat(name)] = feature.GetFieldAsString(i);
        }
    }
    return tags;
}

/// "sand;rock" as "4,9"; a word that is not listed stays as it is.
std::string coded(const std::string& value, std::span<const Word> words) {
    if (words.empty()) return value;
    std::string codes;
    for (std::size_t begin = 0; begin <= value.size();) {
        const std::size_t end = std::min(value.find(';', begin), value.size());
        std::string word = value.substr(begin, end - begin);
        std::erase(word, ' ');
        const auto found =
            std::find_if(words.begin(), words.end(), [&](const Word& w) { return w.word == word; });
        codes += (codes.empty() ? "" : ",") + (found != words.end() ? std::to_string(found->code) : word);
        begin = end + 1;
    }
    return codes;
}

template <std::size_t count>
bool one_of(std::string_view name, const std::array<std::string_view, count>& names) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

bool is_area(const OGRGeometry& geometry) {
    const OGRwkbGeometryType type = geometry.getGeometryType();
    return OGR_GT_IsSubClassOf(type, wkbSurface) || OGR_GT_IsSubClassOf(type, wkbMultiSurface);
}

/// Lines as the areas between those that close, and the others as they are.
std::unique_ptr<OGRGeometry> closed_and_rest(const OGRGeometry& lines) {
    const std::unique_ptr<OGRGeometry> areas(lines.Polygonize());
    if (!areas || areas->IsEmpty()) return nullptr;
    auto both = std::make_unique<OGRGeometryCollection>();
    both->addGeometry(areas.get());
    std::unique_ptr<OGRGeometry> rest(lines.clone());
    for (const OGRGeometry* area : *areas->toGeometryCollection()) {
        const std::unique_ptr<OGRGeometry> outline(area->Boundary());
        std::unique_ptr<OGRGeometry> left(outline && rest ? rest->Difference(outline.get()) : nullptr);
        if (left) rest = std::move(left);
    }
    if (rest && !rest->IsEmpty()) both->addGeometry(rest.get());
    return both;
}

/// Of two soundings of one thing the shoaler counts; of one that cannot be read, that.
bool keeps_sounding(const OGRFeature& seamark, std::string_view attribute, const std::string& value) {
    if (attribute != "VALSOU") return false;
    const std::string before = text_of(seamark, "VALSOU");
    if (before.empty()) return false;
    const auto old_m = number_of(seamark, "VALSOU");
    OGRFeatureUniquePtr other(seamark.Clone());
    other->SetField("VALSOU", value.c_str());
    const auto new_m = number_of(*other, "VALSOU");
    return !old_m || (new_m && *old_m <= *new_m);
}

} // namespace

bool may_hold_seamarks(OGRFeatureDefn& definition) {
    return definition.GetFieldIndex("seamark:type") >= 0 || definition.GetFieldIndex("seamark_type") >= 0 ||
           definition.GetFieldIndex("other_tags") >= 0 || definition.GetFieldIndex("all_tags") >= 0;
}

SeamarkReader::SeamarkReader() : definition_(new OGRFeatureDefn("seamarks")) {
    definition_->Reference();
    const auto add = [this](std::string_view name) {
        if (definition_->GetFieldIndex(std::string(name).c_str()) >= 0) return;
        const OGRFieldDefn field(std::string(name).c_str(), OFTString);
        definition_->AddFieldDefn(&field);
    };
    for (const CategoryOf& category : categories) {
        add(category.attribute);
    }
    for (const KeyOf& key : keys) {
        add(key.attribute);
    }
    // Looked at by rules, and without tags of their own in the schema.
    for (const char* attribute : {"CATMPA", "CATZOC", "CATCOV", "OBJNAM", "INFORM"}) {
        add(attribute);
    }
}

SeamarkReader::~SeamarkReader() { definition_->Release(); }

Seamark SeamarkReader::read(OGRFeature& tagged) const {
    Seamark seamark = read(tags_of(tagged));
    if (seamark.feature) seamark.feature->SetFID(tagged.GetFID());
    return seamark;
}

Seamark SeamarkReader::read(const Tags& given) const {
    Tags tags;
    for (const auto& [key, value] : given) {
        tags[flat(key)] = value;
    }
    const auto type = tags.find("seamark_type");
    if (type == tags.end() || type->second.empty()) return {};
    const auto known =
        std::find_if(types.begin(), types.end(), [&](const TypeOf& t) { return t.type == type->second; });
    Seamark seamark{known != types.end() ? std::string(known->object_class) : "seamark:type=" + type->second,
                    OGRFeatureUniquePtr(OGRFeature::CreateFeature(definition_))};
    if (!seamark.feature) throw std::bad_alloc();
    const auto take = [&](const std::string& tag, std::string_view attribute, std::span<const Word> words) {
        const auto found = tags.find(tag);
        if (found != tags.end() && !found->second.empty() &&
            !keeps_sounding(*seamark.feature, attribute, found->second)) {
            seamark.feature->SetField(std::string(attribute).c_str(), coded(found->second, words).c_str());
        }
    };
    const std::string prefix = "seamark_" + flat(type->second) + "_";
    for (const KeyOf& key : keys) {
        take(prefix + std::string(key.key), key.attribute, key.words);
    }
    for (const CategoryOf& category : categories) {
        if (category.object_class == seamark.object_class) {
            take(prefix + "category", category.attribute, category.words);
        }
    }
    take("seamark_name", "OBJNAM", {});
    take("seamark_information", "INFORM", {});
    return seamark;
}

std::unique_ptr<OGRGeometry> as_seamark(const std::string& object_class, const OGRGeometry& tagged) {
    const GdalMessages quiet;
    std::unique_ptr<OGRGeometry> meant;
    if (is_area(tagged) && one_of(object_class, line_classes)) {
        meant.reset(tagged.Boundary());
    } else if (!is_area(tagged) && one_of(object_class, area_classes)) {
        if (wkbFlatten(tagged.getGeometryType()) == wkbLineString && tagged.toLineString()->get_IsClosed()) {
            OGRLinearRing ring;
            ring.addSubLineString(tagged.toLineString());
            auto polygon = std::make_unique<OGRPolygon>();
            polygon->addRing(&ring);
            meant = std::move(polygon);
        } else if (OGR_GT_IsSubClassOf(tagged.getGeometryType(), wkbGeometryCollection)) {
            meant = closed_and_rest(tagged);
        }
    }
    return meant ? std::move(meant) : std::unique_ptr<OGRGeometry>(tagged.clone());
}

bool lacks_its_area(const std::string& object_class, const OGRGeometry& meant) {
    if (!one_of(object_class, area_classes)) return false;
    if (!OGR_GT_IsSubClassOf(meant.getGeometryType(), wkbGeometryCollection)) {
        return !is_area(meant) && wkbFlatten(meant.getGeometryType()) != wkbPoint;
    }
    const OGRGeometryCollection& parts = *meant.toGeometryCollection();
    return std::any_of(parts.begin(), parts.end(),
                       [&](const OGRGeometry* part) { return lacks_its_area(object_class, *part); });
}

} // namespace swingroom
