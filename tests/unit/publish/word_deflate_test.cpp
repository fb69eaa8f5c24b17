// What is compressed here is unpacked by GDAL's decompressor, which is zlib's or libdeflate's.
#include "publish/raster/prefix_code.hpp"
#include "publish/raster/word_deflate.hpp"

#include <cpl_compressor.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <numeric>
#include <random>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

using Words = std::vector<std::uint32_t>;

/// The same numbers in every run.
class Random {
public:
    explicit Random(std::uint32_t seed) : engine_(seed) {}
    std::uint32_t operator()() { return static_cast<std::uint32_t>(engine_()); }

private:
    std::mt19937 engine_;
};

/// The words that a reader makes of the bytes; one more than expected where it makes nothing of them.
Words unpacked(const std::vector<std::byte>& bytes, std::size_t count) {
    const CPLCompressor* const reader = CPLGetDecompressor("zlib");
    Words words(count + 1);
    void* to = words.data();
    std::size_t size = words.size() * sizeof(std::uint32_t);
    if (!reader->pfnFunc(bytes.data(), bytes.size(), &to, &size, nullptr, reader->user_data)) return words;
    words.resize(size / sizeof(std::uint32_t));
    return words;
}

Words made(std::size_t count, const std::function<std::uint32_t(std::size_t)>& word) {
    Words words(count);
    for (std::size_t i = 0; i < count; ++i) {
        words[i] = word(i);
    }
    return words;
}

void expect_the_same_back(const Words& words, const char* what) {
    SCOPED_TRACE(what);
    SCOPED_TRACE(words.size());
    EXPECT_EQ(unpacked(deflated_words(words), words.size()), words);
}

TEST(WordDeflate, AReaderGetsBackWhatWasWritten) {
    Random random(20);
    for (const std::size_t count : {0U, 1U, 2U, 3U, 4U, 5U, 64U, 65U, 1000U, 262'144U}) {
        expect_the_same_back(Words(count, 0), "zeros");
        expect_the_same_back(Words(count, 0x7fc00000), "one word");
        expect_the_same_back(made(count, [&](std::size_t) { return random(); }), "noise");
        expect_the_same_back(made(count, [&](std::size_t) { return random() % 7 << 16U; }), "steps");
        expect_the_same_back(made(count, [&](std::size_t i) { return i % 97 == 0 ? random() : 0; }),
                             "plateaus");
        expect_the_same_back(made(count, [](std::size_t i) { return static_cast<std::uint32_t>(i * i); }),
                             "squares");
        expect_the_same_back(made(count, [](std::size_t i) { return static_cast<std::uint32_t>(i % 8192); }),
                             "repeats from as far back as can be told");
        expect_the_same_back(made(count, [](std::size_t i) { return static_cast<std::uint32_t>(i % 8193); }),
                             "and farther");
    }
}

/// Between what hardly compresses and what is all one word.
TEST(WordDeflate, AReaderGetsBackMixturesOfAllKinds) {
    for (std::uint32_t seed = 0; seed < 60; ++seed) {
        Random random(seed);
        Words words;
        while (words.size() < 20'000) {
            const std::uint32_t kinds = 1U << random() % 12, shift = random() % 4 * 8;
            const std::size_t run = random() % 700;
            for (std::size_t i = 0; i < run; ++i) {
                words.push_back(words.size() > 9000 && random() % 3 == 0
                                    ? words[words.size() - 1 - random() % 9000]
                                    : random() % kinds << shift);
            }
        }
        expect_the_same_back(words, "a mixture");
    }
}

TEST(WordDeflate, NoiseGrowsByFiveBytesIn32000) {
    Random random(1);
    const Words words = made(262'144, [&](std::size_t) { return random(); });
    const std::size_t raw = words.size() * sizeof(std::uint32_t);
    EXPECT_LE(deflated_words(words).size(), raw + raw / 32'000 * 5 + 5 + 6);
}

/// RFC 1951: a repeat of 256 bytes takes two bits at the least, so that a byte stands for 1024.
TEST(WordDeflate, WhatIsAllOneWordIsHardlyAnything) {
    EXPECT_LE(deflated_words(Words(262'144, 0x41200000)).size(), 262'144U * 4 / 1024 + 100);
}

/// The example that descriptions of Adler-32 give.
TEST(Adler32, OfAWord) {
    const std::string_view word = "Wikipedia";
    EXPECT_EQ(adler32(std::as_bytes(std::span(word))), 0x11e60398U);
    EXPECT_EQ(adler32({}), 1U);
}

/// By its definition in RFC 1950, byte by byte.
TEST(Adler32, OfManyBytes) {
    Random random(3);
    for (const std::size_t count : {4095U, 4096U, 4097U, 100'000U}) {
        for (const bool greatest : {false, true}) {
            std::vector<std::byte> bytes(count);
            std::uint32_t a = 1, b = 0;
            for (std::byte& byte : bytes) {
                byte = greatest ? std::byte{255} : static_cast<std::byte>(random());
                a = (a + std::to_integer<std::uint32_t>(byte)) % 65521;
                b = (b + a) % 65521;
            }
            EXPECT_EQ(adler32(bytes), b << 16U | a) << count;
        }
    }
}

/// RFC 1951, section 3.2.2: the symbols A to H.
TEST(PrefixCode, WordsAreThoseOfTheStandardsExample) {
    constexpr std::array<std::uint8_t, 8> lengths = {3, 3, 3, 3, 3, 2, 4, 4};
    constexpr std::array<std::uint16_t, 8> first_bit_highest = {0b010, 0b011, 0b100,  0b101,
                                                                0b110, 0b00,  0b1110, 0b1111};
    std::array<CodeWord, 8> words;
    find_code_words(lengths, words);
    for (std::size_t i = 0; i < words.size(); ++i) {
        unsigned turned = 0;
        for (unsigned bit = 0; bit < lengths[i]; ++bit) {
            turned = turned << 1U | (words[i].bits >> bit & 1U);
        }
        EXPECT_EQ(turned, first_bit_highest[i]) << i;
        EXPECT_EQ(words[i].length, lengths[i]);
    }
}

/// Kraft's sum, in units of the longest word: it is whole where every stream of bits can be read.
unsigned kraft(std::span<const std::uint8_t> lengths) {
    return std::accumulate(lengths.begin(), lengths.end(), 0U, [](unsigned sum, std::uint8_t length) {
        return sum + (length > 0 ? 1U << (15U - length) : 0U);
    });
}

TEST(PrefixCode, LengthsAreThoseOfAWholeCodeAndNeverTooLong) {
    std::vector<std::uint32_t> growing = {1, 1}; // as Fibonacci's numbers do, which makes the longest words
    while (growing.size() < 30) {
        growing.push_back(growing[growing.size() - 1] + growing[growing.size() - 2]);
    }
    for (const int most : {7, 15}) {
        const std::span<const std::uint32_t> some(growing.data(), most == 7 ? 19 : 30);
        std::vector<std::uint8_t> lengths(some.size());
        find_code_lengths(some, most, lengths);
        EXPECT_LE(*std::max_element(lengths.begin(), lengths.end()), most);
        EXPECT_EQ(kraft(lengths), 1U << 15U);
    }
}

/// No code is shorter: Huffman's takes less than the entropy and a bit a symbol.
TEST(PrefixCode, LengthsCostLessThanTheEntropyAndABit) {
    Random random(4);
    for (int round = 0; round < 50; ++round) {
        std::vector<std::uint32_t> often(2 + random() % 200);
        for (std::uint32_t& one : often) {
            one = 1 + (random() % 1000) * (random() % 2);
        }
        std::vector<std::uint8_t> lengths(often.size());
        find_code_lengths(often, 15, lengths);
        const double all = std::accumulate(often.begin(), often.end(), 0.0);
        double cost = 0, entropy = 0;
        for (std::size_t i = 0; i < often.size(); ++i) {
            cost += often[i] / all * lengths[i];
            entropy -= often[i] / all * std::log2(often[i] / all);
        }
        EXPECT_EQ(kraft(lengths), 1U << 15U);
        EXPECT_GE(cost, entropy - 1e-9);
        EXPECT_LT(cost, entropy + 1);
    }
}

TEST(PrefixCode, WhatIsAloneHasABit) {
    std::array<std::uint8_t, 3> lengths{};
    find_code_lengths(std::array<std::uint32_t, 3>{0, 5, 0}, 15, lengths);
    EXPECT_EQ(lengths, (std::array<std::uint8_t, 3>{0, 1, 0}));
    find_code_lengths(std::array<std::uint32_t, 3>{}, 15, lengths);
    EXPECT_EQ(lengths, (std::array<std::uint8_t, 3>{}));
}

} // namespace
} // namespace swingroom
