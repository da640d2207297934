#include "fuzz/fuzz.hpp"

#include <unistd.h>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    waywarden::fuzz::run({reinterpret_cast<const char*>(data), size});
    return 0;
}

namespace waywarden::fuzz {

std::string file_path(const char* ending) {
    return "/dev/shm/waywarden-fuzz-" + std::to_string(getpid()) + ending;
}

std::string file_with(std::string_view bytes, const char* ending) {
    const std::string path = file_path(ending);
    std::FILE* file = std::fopen(path.c_str(), "wb");
    must(file != nullptr, "cannot write", path);
    if (!bytes.empty()) std::fwrite(bytes.data(), 1, bytes.size(), file);
    std::fclose(file);
    return path;
}

} // namespace waywarden::fuzz
