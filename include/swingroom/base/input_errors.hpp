#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/base/message.hpp"

#include <memory>
#include <vector>

namespace swingroom {

/// One of several things that the user can mend.
struct Fault {
    Message where;    ///< within the file or command that all of them are about: a key, an option
    InputError error; ///< as it is told where it is the only one
};

/// Several things that the user can mend, all told at once, so that nobody is sent back for each of them. As
/// an InputError it tells them in one line; a front end that has more lines takes them one by one.
class InputErrors : public InputError {
public:
    /// @param where   the file or command that all of them are about   @param faults  two or more
    InputErrors(const Message& where, const std::vector<Fault>& faults);

    /// What stands over a list of them: where, and how many there are.
    [[nodiscard]] const Message& heading() const { return lists_->heading; }
    /// Each by itself: where, what is wrong, and what to do.
    [[nodiscard]] const std::vector<Message>& lines() const { return lists_->lines; }

private:
    struct Lists {
        Message heading;
        std::vector<Message> lines;
    };
    std::shared_ptr<const Lists> lists_; ///< shared: an exception must be copied without throwing
};

/// Tells what was found: nothing, the only one as it is, or all at once.
/// @param where  the file or command that they are about   @throws InputError where there is any
void throw_if_any(const Message& where, const std::vector<Fault>& faults);

} // namespace swingroom
