#include "publish/folder/sha256.hpp"

#include "base/text.hpp"

#include <openssl/evp.h>

#include <array>
#include <new>
#include <stdexcept>

namespace swingroom {
namespace {

struct FreeContext {
    void operator()(EVP_MD_CTX* context) const noexcept { EVP_MD_CTX_free(context); }
};

void expect(int done) {
    if (done != 1) throw std::runtime_error("the cryptographic library refuses SHA-256");
}

} // namespace

struct Sha256::State {
    std::unique_ptr<EVP_MD_CTX, FreeContext> context{EVP_MD_CTX_new()};
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
    if (!state_->context) throw std::bad_alloc{};
    expect(EVP_DigestInit_ex(state_->context.get(), EVP_sha256(), nullptr));
}

Sha256::~Sha256() = default;

void Sha256::add(std::string_view bytes) {
    expect(EVP_DigestUpdate(state_->context.get(), bytes.data(), bytes.size()));
}

std::string Sha256::hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int bytes = 0;
    expect(EVP_DigestFinal_ex(state_->context.get(), digest.data(), &bytes));
    std::string text;
    for (unsigned int i = 0; i < bytes; ++i) {
        text += hex_digits(digest.at(i), 2);
    }
    return text;
}

} // namespace swingroom
