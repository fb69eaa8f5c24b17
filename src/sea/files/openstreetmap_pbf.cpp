#include "swingroom/base/error.hpp"

#include "sea/files/input_text.hpp"
#include "sea/files/openstreetmap_elements.hpp"

#include <cpl_conv.h>

#include <cstddef>
#include <string_view>
#include <utility>

// The PBF format of OpenStreetMap: blocks of protocol buffers, each after its length and mostly packed by
// zlib. Of a message only the fields that are asked for are looked at. Numbers of the fields are those of
// fileformat.proto and osmformat.proto.

namespace swingroom {
namespace {

using Kind = OpenStreetMapFile::Kind;

struct Broken {}; ///< a message that contradicts itself

/// A field of a message: a number, or bytes that are text, packed numbers or a message in turn.
struct Field {
    std::uint32_t number = 0;
    std::uint64_t value = 0;
    std::string_view bytes;
};

/// Signed numbers are kept with their sign in the lowest bit.
std::int64_t unzigzag(std::uint64_t value) {
    return static_cast<std::int64_t>(value >> 1U) ^ -static_cast<std::int64_t>(value & 1U);
}

class Message {
public:
    explicit Message(std::string_view bytes) : rest_(bytes) {}

    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    std::uint64_t varint() {
        std::uint64_t value = 0;
        for (unsigned shift = 0; shift < 64; shift += 7) {
            const auto byte = static_cast<unsigned char>(take(1)[0]);
            value |= static_cast<std::uint64_t>(byte & 0x7FU) << shift;
            if ((byte & 0x80U) == 0) return value;
        }
        throw Broken{};
    }
    Field field() {
        const std::uint64_t key = varint();
        Field field{static_cast<std::uint32_t>(key >> 3U), 0, {}};
        switch (key & 7U) {
        case 0:
            field.value = varint();
            break;
        case 1:
            take(8);
            break;
        case 2:
            field.bytes = take(varint());
            break;
        case 5:
            take(4);
            break;
        default:
            throw Broken{};
        }
        return field;
    }

private:
    std::string_view take(std::uint64_t bytes) {
        if (bytes > rest_.size()) throw Broken{};
        const std::string_view taken = rest_.substr(0, bytes);
        rest_.remove_prefix(bytes);
        return taken;
    }
    std::string_view rest_;
};

template <class Take>
void each_field(std::string_view bytes, Take&& take) {
    for (Message message(bytes); !message.at_end();) {
        take(message.field());
    }
}

/// Sums of packed differences.
std::vector<std::int64_t> sums(std::string_view bytes) {
    std::vector<std::int64_t> all;
    std::uint64_t sum = 0;
    for (Message packed(bytes); !packed.at_end();) {
        sum += static_cast<std::uint64_t>(unzigzag(packed.varint()));
        all.push_back(static_cast<std::int64_t>(sum));
    }
    return all;
}

std::vector<std::uint64_t> numbers(std::string_view bytes) {
    std::vector<std::uint64_t> all;
    for (Message packed(bytes); !packed.at_end();) {
        all.push_back(packed.varint());
    }
    return all;
}

/// The elements of one block.
class Block {
public:
    Block(std::string_view bytes, const VisitElement& visit) : visit_(visit) {
        std::vector<std::string_view> groups;
        each_field(bytes, [&](const Field& field) {
            if (field.number == 1) {
                each_field(field.bytes, [&](const Field& text) {
                    if (text.number == 1) strings_.push_back(text.bytes);
                });
            }
            if (field.number == 2) groups.push_back(field.bytes);
        });
        for (const std::string_view group : groups) {
            each_field(group, [&](const Field& field) {
                if (field.number == 1) visit_(element(Kind::node, field.bytes));
                if (field.number == 2) dense_nodes(field.bytes);
                if (field.number == 3) visit_(element(Kind::way, field.bytes));
                if (field.number == 4) visit_(element(Kind::relation, field.bytes));
            });
        }
    }

private:
    [[nodiscard]] std::string_view text(std::uint64_t number) const {
        if (number >= strings_.size()) throw Broken{};
        return strings_[number];
    }
    void take_tag(std::uint64_t key, std::uint64_t value, OpenStreetMapElement& to) const {
        to.take_tag(text(key), text(value));
    }
    [[nodiscard]] OpenStreetMapElement element(Kind kind, std::string_view bytes) const {
        OpenStreetMapElement out;
        out.object.first = kind;
        std::vector<std::uint64_t> keys, values, types;
        std::vector<std::int64_t> refs;
        each_field(bytes, [&](const Field& field) {
            if (field.number == 1) {
                out.object.second =
                    kind == Kind::node ? unzigzag(field.value) : static_cast<std::int64_t>(field.value);
            }
            if (field.number == 2) keys = numbers(field.bytes);
            if (field.number == 3) values = numbers(field.bytes);
            if (field.number == 8 && kind == Kind::way) refs = sums(field.bytes);
            if (field.number == 9 && kind == Kind::relation) refs = sums(field.bytes);
            if (field.number == 10 && kind == Kind::relation) types = numbers(field.bytes);
        });
        if (keys.size() != values.size()) throw Broken{};
        for (std::size_t i = 0; i < keys.size(); ++i) {
            take_tag(keys[i], values[i], out);
        }
        if (kind == Kind::relation && types.size() != refs.size()) throw Broken{};
        for (std::size_t i = 0; i < refs.size(); ++i) {
            out.parts.emplace_back(kind == Kind::way ? Kind::node : kind_of(types[i]), refs[i]);
        }
        return out;
    }
    static Kind kind_of(std::uint64_t type) {
        return type == 0 ? Kind::node : type == 1 ? Kind::way : Kind::relation;
    }
    /// Identities as differences; keys and values of one node after the other, each ended by a 0.
    void dense_nodes(std::string_view bytes) const {
        std::vector<std::int64_t> ids;
        std::vector<std::uint64_t> tags;
        each_field(bytes, [&](const Field& field) {
            if (field.number == 1) ids = sums(field.bytes);
            if (field.number == 10) tags = numbers(field.bytes);
        });
        std::size_t at = 0;
        for (const std::int64_t id : ids) {
            OpenStreetMapElement node;
            node.object = {Kind::node, id};
            while (at < tags.size() && tags[at] != 0) {
                if (at + 1 >= tags.size()) throw Broken{};
                take_tag(tags[at], tags[at + 1], node);
                at += 2;
            }
            ++at;
            visit_(node);
        }
    }

    const VisitElement& visit_;
    std::vector<std::string_view> strings_;
};

/// What a blob holds, unpacked.
std::string unpacked(std::string_view blob) {
    // No block is larger: the format's own limit.
    constexpr std::uint64_t most_bytes = 32ULL << 20U;
    std::string_view raw, zlib;
    std::uint64_t size = 0;
    each_field(blob, [&](const Field& field) {
        if (field.number == 1) raw = field.bytes;
        if (field.number == 2) size = field.value;
        if (field.number == 3) zlib = field.bytes;
    });
    if (zlib.empty()) return std::string(raw);
    if (size > most_bytes) throw Broken{};
    std::string out(size, '\0');
    std::size_t got = 0;
    if (!CPLZLibInflate(zlib.data(), zlib.size(), out.data(), out.size(), &got) || got != size) {
        throw Broken{};
    }
    return out;
}

/// @returns false at the end of the file
bool read_block(InputBytes& in, const VisitElement& visit) {
    constexpr std::uint64_t most_bytes = 64ULL << 20U;
    const std::string length = in.take(4);
    if (length.empty()) return false;
    if (length.size() < 4) throw Broken{};
    std::uint64_t header_bytes = 0, blob_bytes = 0;
    for (const char c : length) {
        header_bytes = header_bytes << 8U | static_cast<unsigned char>(c);
    }
    if (header_bytes > most_bytes) throw Broken{};
    const std::string header = in.take(header_bytes);
    if (header.size() < header_bytes) throw Broken{};
    std::string_view type;
    each_field(header, [&](const Field& field) {
        if (field.number == 1) type = field.bytes;
        if (field.number == 3) blob_bytes = field.value;
    });
    if (blob_bytes > most_bytes) throw Broken{};
    const std::string blob = in.take(blob_bytes);
    if (blob.size() < blob_bytes) throw Broken{};
    if (type != "OSMData") return true;
    const std::string block = unpacked(blob); // outlives what looks into it
    const Block read(block, visit);
    return true;
}

} // namespace

void each_pbf_element(const std::string& path, const VisitElement& visit) {
    InputBytes in(path);
    try {
        while (read_block(in, visit)) {
        }
    } catch (const Broken&) {
        throw IoError(path, "is cut off or broken, or packed in a way that is not read here");
    }
}

} // namespace swingroom
