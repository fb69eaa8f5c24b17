#include "swingroom/base/error.hpp"

namespace swingroom {

InputError::InputError(const Message& where, const Message& wrong, const Message& cure)
    : std::runtime_error((where + ": " + wrong + "; " + cure).text()),
      parts_(std::make_shared<const Parts>(Parts{where, wrong, cure})) {}

Message InputError::complaint() const { return parts_->wrong + "; " + parts_->cure; }

Message InputError::message() const { return where() + ": " + complaint(); }

IoError::IoError(const Message& where, const Message& wrong)
    : std::runtime_error((where + ": " + wrong).text()),
      message_(std::make_shared<const Message>(where + ": " + wrong)) {}

} // namespace swingroom
