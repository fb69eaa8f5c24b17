#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

// All that people read goes through here, and only here is anything written to stdout or stderr, but for the
// bar of progress: text from outside reaches no terminal unless for_terminal() has seen it.

namespace swingroom::cli {

/// How much a run says of itself. Warnings, errors and what a command is asked to print are said at any
/// loudness.
enum class Loudness {
    quiet,  ///< no progress, and not where the result is
    plain,  ///< warnings, errors, results, and a bar of progress on a terminal
    verbose ///< on stderr too: each phase with its time
};
/// To be called before anything is printed.
void set_loudness(Loudness loudness);
/// What was set; plain if nothing was.
Loudness loudness();

/// Whether stderr is a terminal that knows more than plain lines: never in a pipe, nor where TERM is dumb or
/// unset.
bool stderr_is_terminal();

/// stdout or stderr.
enum class Stream { out, err };
/// How many columns a stream has: what COLUMNS says, else what the terminal does; 0: it is no terminal, or
/// nobody says.
std::size_t columns(Stream of);
/// What a command is asked to print for people, lines and all; on a terminal no wider than it. What came from
/// outside into one of its lines must have gone through on_one_line(), so that it makes no line of its own.
void print(std::string_view text, Stream to = Stream::out);
/// The same of what other programs read, wherever it goes: no line is broken.
void print_document(std::string_view text);
/// Whether all that was printed on stdout has arrived.
bool flush_output();

/// What warnings are about from here on, which is said before them; empty: nothing of the kind.
void set_subject(std::string subject);
/// One line on stderr: `swingroom: warning: TEXT`; folded on a terminal that is narrower. In colour on a
/// terminal, unless NO_COLOR is set and not empty (no-color.org); the words are the same.
void print_warning(const std::string& text);
/// `swingroom: TEXT`
void print_error(const std::string& text);
/// The same of a text that may have several lines and ends with a newline.
void print_refusal(const std::string& text);
/// What such a line is the heading of: each text on a line of its own below it.
void print_list(const std::vector<std::string>& texts);

/// One line on stderr: `swingroom: TEXT`, for people who look on: on a terminal, or with --verbose.
void print_note(const std::string& text);

/// With --verbose a line on stderr: the seconds since the start, and what begins or is so.
void tell(const std::string& what);
/// With --verbose what the program has used so far: processor time and the most memory.
void tell_usage();

/// The path of what a command has made, on stdout; nothing with --quiet.
void print_made(const std::string& path);

} // namespace swingroom::cli
