#include "swingroom/base/fact.hpp"

#include <utility>

namespace swingroom {

Fact said_fact(std::string name, std::string value, std::string by) {
    return {std::move(name), std::move(value), Fact::Kind::said, std::move(by)};
}

Fact assumed_fact(std::string name, std::string value) {
    return {std::move(name), std::move(value), Fact::Kind::assumed};
}

Fact warning_fact(std::string value) { return {"warning", std::move(value), Fact::Kind::warning}; }

std::string told_name(const Fact& fact) {
    return (fact.kind == Fact::Kind::assumed ? "assumed " : "") + fact.name;
}

std::string told_value(const Fact& fact) {
    std::string by = fact.by;
    if (fact.kind == Fact::Kind::said) by = by.empty() ? "as said" : "as said; " + by;
    return fact.value + (by.empty() ? "" : " (" + by + ")");
}

std::string told(const Fact& fact) {
    return (fact.of.empty() ? "" : fact.of + ": ") + (fact.name.empty() ? "" : told_name(fact) + ": ") +
           told_value(fact);
}

} // namespace swingroom
