// Party files.
#include "fuzz/fuzz.hpp"
#include "rules/setting.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    rules::load_party(file_with(bytes, ".json"));
}

} // namespace waywarden::fuzz
