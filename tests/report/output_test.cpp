#include "error.hpp"
#include "report/output.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>

using namespace waywarden;
namespace fs = std::filesystem;

namespace {

/// A folder that goes with the test.
struct Folder {
    fs::path path;
    Folder() {
        std::string name = (fs::temp_directory_path() / "waywarden-test-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path = name;
    }
    ~Folder() { fs::remove_all(path); }
    std::string file(const char* name) const { return (path / name).string(); }
    std::ptrdiff_t count() const {
        return std::distance(fs::directory_iterator(path), fs::directory_iterator());
    }
};

std::string content(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

} // namespace

TEST_CASE("routes never share a file") {
    using Names = std::vector<std::string>;
    CHECK(report::stems({"a/day.gpx", "b/day.gpx", "c/DAY.kml"}) == Names{"day", "day-2", "DAY-3"});
    CHECK(report::stems({"day.gpx", "day-2.gpx", "x/day.gpx"}) == Names{"day", "day-2", "day-3"});
    CHECK(report::stems({"summary.gpx"}, {"summary"}) == Names{"summary-2"});
    CHECK(report::stems({"-"}) == Names{"stdin"});
}

TEST_CASE("a route's name never leaves the folder") {
    for (const char* path : {"../../etc/passwd.gpx", "..gpx", "...", ".hidden.gpx", "a\\..\\b.gpx", "c:d.gpx",
                             "x\ny.gpx", "/"}) {
        CAPTURE(path);
        const std::string stem = report::stems({path}).front();
        CHECK_FALSE(stem.empty());
        CHECK(stem.find_first_of("/\\:\n") == std::string::npos);
        CHECK(stem.front() != '.');
    }
    const std::string tall = report::stems({std::string(199, 'a') + "é.gpx"}).front();
    CHECK(tall == std::string(199, 'a')); // cut before, not within, a character
}

TEST_CASE("a file is written whole and leaves nothing else behind") {
    const Folder folder;
    report::write_whole(folder.file("a.txt"), [](std::ostream& out) { out << "first"; });
    report::write_whole(folder.file("a.txt"), [](std::ostream& out) { out << "second"; });
    CHECK(content(folder.file("a.txt")) == "second");
    CHECK(folder.count() == 1);
    struct stat status {};
    REQUIRE(::stat(folder.file("a.txt").c_str(), &status) == 0);
    const mode_t mask = ::umask(0);
    ::umask(mask);
    CHECK((status.st_mode & 0777U) == (0666U & ~mask));
}

TEST_CASE("on failure the old file stays") {
    const Folder folder;
    report::write_whole(folder.file("a.txt"), [](std::ostream& out) { out << "old"; });
    CHECK_THROWS_AS(report::write_whole(folder.file("a.txt"),
                                        [](std::ostream& out) {
                                            out << "half";
                                            throw std::runtime_error("stop");
                                        }),
                    std::runtime_error);
    CHECK(content(folder.file("a.txt")) == "old");
    CHECK(folder.count() == 1);
    CHECK_THROWS_AS(report::write_whole(folder.file("no/such/folder/a.txt"), [](std::ostream&) {}),
                    DataError);
    fs::create_directory(folder.path / "b.txt");
    CHECK_THROWS_AS(report::write_whole(folder.file("b.txt"), [](std::ostream& out) { out << "x"; }),
                    DataError);
    CHECK(folder.count() == 2);
}
