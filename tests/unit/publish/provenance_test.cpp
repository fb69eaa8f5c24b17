#include "swingroom/base/error.hpp"
#include "swingroom/publish/provenance.hpp"

#include "publish/folder/sha256.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gtest/gtest.h>

#include <string>

namespace swingroom {
namespace {

using testing::put_file;
using testing::ScratchFolder;

// NIST's worked examples for FIPS 180-4 ("SHA256.pdf"), and the million of "a" from its long message example.
TEST(Sha256, AgreesWithTheExamplesOfFips180_4) {
    Sha256 empty, abc, two_blocks, million;
    EXPECT_EQ(empty.hex(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    abc.add("a");
    abc.add("bc");
    EXPECT_EQ(abc.hex(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    two_blocks.add("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq");
    EXPECT_EQ(two_blocks.hex(), "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    for (int i = 0; i < 1000; ++i) {
        million.add(std::string(1000, 'a'));
    }
    EXPECT_EQ(million.hex(), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(DigestOfFile, CountsAndSums) {
    const ScratchFolder folder;
    put_file(folder.path() / "abc", "abc");
    const InputFile file = digest_of_file((folder.path() / "abc").string());
    EXPECT_EQ(file.bytes, 3U);
    EXPECT_EQ(file.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    EXPECT_NE(file.changed_ns, 0);
}

TEST(DigestOfFile, RefusesWhatIsNoPlainFile) {
    const ScratchFolder folder;
    EXPECT_THROW(digest_of_file(folder.path().string()), IoError);
    EXPECT_THROW(digest_of_file((folder.path() / "missing").string()), IoError);
    EXPECT_THROW(digest_of_file("/dev/zero"), IoError) << "has no end";
}

TEST(Provenance, NamesWhatIsAssumedInEveryOutput) {
    Provenance provenance;
    provenance.facts = {
        {"wind", "15 kn"}, {"scope", "5", Fact::Kind::assumed}, {"warning", "old", Fact::Kind::warning}};
    const std::string json = provenance_json(provenance), text = provenance_text(provenance);
    EXPECT_NE(json.find(R"([{"name":"wind","value":"15 kn"},{"name":"assumed scope","value":"5"},)"
                        R"({"name":"warning","value":"old"}])"),
              std::string::npos)
        << json;
    EXPECT_NE(text.find("wind: 15 kn; assumed scope: 5; warning: old; "), std::string::npos) << text;
}

} // namespace
} // namespace swingroom
