#include "swingroom/base/fact.hpp"

#include <utility>

namespace swingroom {

Fact stated_fact(std::string name, std::string value, std::string by) {
    return {std::move(name), std::move(value), Fact::Kind::stated, std::move(by)};
}

Fact assumed_fact(std::string name, std::string value) {
    return {std::move(name), std::move(value), Fact::Kind::assumed};
}

Fact warning_fact(std::string value) { return {"warning", std::move(value), Fact::Kind::warning}; }

std::string fact_name(const Fact& fact) {
    return (fact.kind == Fact::Kind::assumed ? "assumed " : "") + fact.name;
}

std::string fact_value(const Fact& fact) {
    std::string by = fact.by;
    if (fact.kind == Fact::Kind::stated) by = by.empty() ? "as said" : "as said; " + by;
    return fact.value + (by.empty() ? "" : " (" + by + ")");
}

std::string fact_line(const Fact& fact) {
    return (fact.of.empty() ? "" : fact.of + ": ") + (fact.name.empty() ? "" : fact_name(fact) + ": ") +
           fact_value(fact);
}

} // namespace swingroom
