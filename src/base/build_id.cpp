#include "base/build_id.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <link.h>
#include <span>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

constexpr std::string_view owner("GNU\0", 4); // of the note

std::string hexadecimal(std::span<const unsigned char> bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const unsigned char byte : bytes) {
        text += digits[byte >> 4U];
        text += digits[byte & 0xFU];
    }
    return text;
}

/// The build ID among the notes of a segment: each has a head of lengths and kind, the name of its owner and
/// what it says, these two filled up to four bytes.
std::string build_id_among(std::span<const unsigned char> notes) {
    const auto filled = [](std::size_t bytes) { return (bytes + 3) / 4 * 4; };
    ElfW(Nhdr) head{};
    while (notes.size() >= sizeof head) {
        std::memcpy(&head, notes.data(), sizeof head);
        notes = notes.subspan(sizeof head);
        const std::size_t name = filled(head.n_namesz), said = filled(head.n_descsz);
        if (notes.size() < name || notes.size() - name < head.n_descsz) break;
        const bool is_of_owner =
            head.n_namesz == owner.size() && std::equal(owner.begin(), owner.end(), notes.begin());
        if (is_of_owner && head.n_type == NT_GNU_BUILD_ID) {
            return hexadecimal(notes.subspan(name, head.n_descsz));
        }
        notes = notes.subspan(std::min(notes.size(), name + said));
    }
    return {};
}

/// Of the first object that is loaded, which is the program.
int take_build_id(dl_phdr_info* program, std::size_t, void* into) {
    for (const ElfW(Phdr) & segment : std::span(program->dlpi_phdr, program->dlpi_phnum)) {
        if (segment.p_type != PT_NOTE) continue;
        const auto* const notes =
            reinterpret_cast<const unsigned char*>(program->dlpi_addr + segment.p_vaddr); // NOLINT
        std::string id = build_id_among({notes, segment.p_memsz});
        if (id.empty()) continue;
        *static_cast<std::string*>(into) = std::move(id);
        break;
    }
    return 1; // no other object is asked for
}

} // namespace

std::string build_id() {
    std::string id;
    dl_iterate_phdr(take_build_id, &id);
    return id;
}

} // namespace swingroom
