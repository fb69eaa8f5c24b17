#pragma once

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom::testing_support {

/// README.md or a page of the manual.
struct Document {
    std::string name; ///< from the top of the repository
    std::string text;
};

/// README.md, then the pages by name.
inline std::vector<Document> documents() {
    const std::filesystem::path top = SWINGROOM_SOURCE;
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(top / "src/manual")) {
        names.push_back("src/manual/" + entry.path().filename().string());
    }
    std::sort(names.begin(), names.end());
    names.insert(names.begin(), "README.md");
    std::vector<Document> documents;
    for (const std::string& name : names) {
        std::ifstream file(top / name);
        documents.push_back({name, {std::istreambuf_iterator<char>(file), {}}});
    }
    return documents;
}

/// A line of Markdown, and whether it stands between fences.
struct MarkdownLine {
    std::string text;
    bool fenced = false;
};
inline std::vector<MarkdownLine> markdown_lines(const std::string& markdown) {
    std::vector<MarkdownLine> lines;
    std::istringstream in(markdown);
    bool inside = false;
    for (std::string line; std::getline(in, line);) {
        const bool fence = line.starts_with("```");
        lines.push_back({line, inside || fence});
        inside = inside != fence;
    }
    return lines;
}

/// What stands between fences. The language says what it is: `sh` for commands to run with what the
/// repository has, `bash` for commands to run with open data, `shell` for commands that are not run; none for
/// a command behind `$ ` with what it prints.
struct Block {
    std::string language, text;
};
inline std::vector<Block> blocks_of(const std::string& markdown) {
    std::vector<Block> blocks;
    bool inside = false;
    for (const auto& [line, fenced] : markdown_lines(markdown)) {
        if (line.starts_with("```")) {
            inside = !inside;
            if (inside) blocks.push_back({line.substr(3), {}});
        } else if (fenced) {
            blocks.back().text += line + "\n";
        }
    }
    return blocks;
}

/// How deep a heading is; 0 for what is none.
inline std::size_t heading_level(const MarkdownLine& line) {
    const std::size_t level = line.text.find_first_not_of('#');
    return line.fenced || level == std::string::npos || line.text[level] != ' ' ? 0 : level;
}

/// From the one heading of these words ("## Layers") in all documents to the next that is no deeper; empty
/// where there is none.
inline std::string section(const std::string& heading) {
    for (const Document& document : documents()) {
        std::string text;
        std::size_t level = 0;
        for (const MarkdownLine& line : markdown_lines(document.text)) {
            const std::size_t deep = heading_level(line);
            if (level > 0 && deep > 0 && deep <= level) break;
            if (deep > 0 && line.text == heading) level = deep;
            if (level > 0) text += line.text + "\n";
        }
        if (!text.empty()) return text;
    }
    return {};
}

} // namespace swingroom::testing_support
