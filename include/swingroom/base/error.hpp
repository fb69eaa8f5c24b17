#pragma once

#include "swingroom/base/message.hpp"

#include <memory>
#include <stdexcept>

namespace swingroom {

/// Something the user can mend. One line on stderr, exit code 2.
///
/// what() speaks to a program's user and calls settings by their plain names; a front end that has names of
/// its own tells message() in them.
class InputError : public std::runtime_error {
public:
    /// @param where  file, key or setting as the user wrote it
    /// @param wrong  what was found there
    /// @param cure   what to do about it
    InputError(const Message& where, const Message& wrong, const Message& cure);

    /// The file, key or setting that the error is about.
    [[nodiscard]] const Message& where() const { return parts_->where; }
    /// What is wrong and what to do, without where.
    [[nodiscard]] Message complaint() const;
    /// All of it in one line: where, what is wrong, and what to do.
    [[nodiscard]] Message message() const;

private:
    struct Parts {
        Message where, wrong, cure;
    };
    std::shared_ptr<const Parts> parts_; ///< shared: an exception must be copied without throwing
};

/// Something that a file does not say and that the caller has to: asked, never guessed.
class UnsaidError : public InputError {
public:
    /// @param question  the setting by which the missing statement can be made; the others as of InputError
    UnsaidError(Setting question, const Message& where, const Message& wrong, const Message& cure)
        : InputError(where, wrong, cure), question_(question) {}

    /// The setting by which it is said.
    [[nodiscard]] Setting question() const { return question_; }

private:
    Setting question_;
};

/// A file or device that failed under us. One line on stderr, exit code 1.
class IoError : public std::runtime_error {
public:
    /// @param where  the file as the user wrote it  @param wrong  what failed
    IoError(const Message& where, const Message& wrong);

    /// The file and what failed, in one line.
    [[nodiscard]] const Message& message() const { return *message_; }

private:
    std::shared_ptr<const Message> message_; ///< shared: an exception must be copied without throwing
};

} // namespace swingroom
