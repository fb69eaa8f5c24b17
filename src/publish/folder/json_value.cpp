#include "publish/folder/json_value.hpp"

#include "swingroom/base/error.hpp"

#include <cpl_error.h>
#include <cpl_json.h>

#include <limits>
#include <utility>

namespace swingroom {

struct JsonValue::Node {
    CPLJSONObject value; ///< keeps its document

    [[nodiscard]] bool is(CPLJSONObject::Type type) const {
        return value.IsValid() && value.GetType() == type;
    }
    [[nodiscard]] bool is_null() const { return is(CPLJSONObject::Type::Null); }
};

JsonValue::JsonValue(std::shared_ptr<const Node> node, std::string source)
    : node_(std::move(node)), source_(std::move(source)) {}

JsonValue JsonValue::parse(const std::string& text, const std::string& source) {
    const CPLErrorHandlerPusher quiet(CPLQuietErrorHandler);
    CPLJSONDocument document;
    if (!document.LoadMemory(text)) throw IoError(source, "is no JSON");
    return JsonValue(std::make_shared<const Node>(Node{document.GetRoot()}), source);
}

void JsonValue::refuse(const std::string& member) const {
    throw IoError(source_, "its member " + member + " is not as it was written");
}

JsonValue::Node JsonValue::found(const std::string& member) const {
    if (!node_->is(CPLJSONObject::Type::Object)) refuse(member);
    // GDAL takes a / in a name for a path; no member of ours has one.
    Node node{node_->value.GetObj(member)};
    if (!node.value.IsValid()) refuse(member);
    return node;
}

std::string JsonValue::text(const std::string& member) const {
    const Node node = found(member);
    if (!node.is(CPLJSONObject::Type::String)) refuse(member);
    return node.value.ToString();
}

bool JsonValue::is_null(const std::string& member) const { return found(member).is_null(); }

std::string JsonValue::text_or_null(const std::string& member) const {
    return is_null(member) ? "" : text(member);
}

double JsonValue::number(const std::string& member) const {
    const Node node = found(member);
    if (node.is_null()) return std::numeric_limits<double>::quiet_NaN();
    using Type = CPLJSONObject::Type;
    if (!node.is(Type::Integer) && !node.is(Type::Long) && !node.is(Type::Double)) refuse(member);
    return node.value.ToDouble();
}

bool JsonValue::truth(const std::string& member) const {
    const Node node = found(member);
    if (!node.is(CPLJSONObject::Type::Boolean)) refuse(member);
    return node.value.ToBool();
}

JsonValue JsonValue::object(const std::string& member) const {
    Node node = found(member);
    if (!node.is(CPLJSONObject::Type::Object)) refuse(member);
    return JsonValue(std::make_shared<const Node>(std::move(node)), source_);
}

std::vector<JsonValue> JsonValue::list(const std::string& member) const {
    const Node node = found(member);
    if (!node.is(CPLJSONObject::Type::Array)) refuse(member);
    const CPLJSONArray array = node.value.ToArray();
    std::vector<JsonValue> values;
    for (int i = 0; i < array.Size(); ++i) {
        values.push_back(JsonValue(std::make_shared<const Node>(Node{array[i]}), source_));
    }
    return values;
}

std::vector<std::string> JsonValue::texts(const std::string& member) const {
    std::vector<std::string> texts;
    for (const JsonValue& value : list(member)) {
        if (!value.node_->is(CPLJSONObject::Type::String)) refuse(member);
        texts.push_back(value.node_->value.ToString());
    }
    return texts;
}

} // namespace swingroom
