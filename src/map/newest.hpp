#pragma once

#include "map/collect.hpp"

#include <algorithm>
#include <vector>

namespace waywarden::map {

/// Of several versions of an object the newest, unless that one is deleted; sorted by id.
template <class T> std::vector<T*> newest_by_id(osmium::memory::Buffer& buffer, Deleted& deleted) {
    std::vector<T*> all;
    for (T& object : buffer.select<T>())
        all.push_back(&object);
    std::stable_sort(all.begin(), all.end(), [](const T* a, const T* b) {
        return a->id() != b->id() ? a->id() < b->id() : a->version() > b->version();
    });
    all.erase(std::unique(all.begin(), all.end(), [](const T* a, const T* b) { return a->id() == b->id(); }),
              all.end());
    std::sort(deleted.begin(), deleted.end());
    std::erase_if(all, [&](const T* object) {
        const auto later =
            std::upper_bound(deleted.begin(), deleted.end(), std::pair(object->id(), object->version()));
        return later != deleted.end() && later->first == object->id();
    });
    return all;
}

} // namespace waywarden::map
