#include "report/marshals.hpp"

#include "report/marshals_words.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

namespace {

std::string party_words(const Assessment& assessment) {
    if (!assessment.walkers)
        return fmt::format("Party {}: nobody said how many walk, so times and queues are not known.",
                           assessment.party);
    return fmt::format("Party {}: {}, {} of whom cross together.", assessment.party,
                       counted(static_cast<std::size_t>(*assessment.walkers), "walker", "walkers"),
                       assessment.group_size.value_or(0));
}

/// What could not be checked: there the map shows nothing to post marshals at, and that is no comfort.
void add_unchecked(const Assessed& route, std::vector<Post>& out) {
    for (const rules::Finding& finding : route.findings) {
        if (!finding.blocks_vouching) continue;
        Post post;
        post.kind = "not_checked";
        post.at_m = finding.from_m;
        post.to_m = finding.to_m;
        post.position = finding.position;
        post.what = "could not be checked: " + finding.title;
        post.facility = finding.message;
        post.why = "what the walk crosses here is not known";
        out.push_back(std::move(post));
    }
}

std::string summary_words(const std::vector<Post>& posts) {
    const auto count = [&](Call call) {
        return std::count_if(posts.begin(), posts.end(), [&](const Post& post) { return post.call == call; });
    };
    return fmt::format(
        "{}: marshals needed at {}, advised at {}, cannot be told at {}, not called for at {}; at {} "
        "no party should be led over at all.",
        counted(posts.size(), "place", "places"), count(Call::needed), count(Call::advised),
        count(Call::look_first), count(Call::not_called_for), count(Call::do_not_cross));
}

} // namespace

MarshalSheet marshal_sheet(const Assessed& route, const Assessment& assessment) {
    MarshalSheet out;
    add_crossing_posts(route, assessment, out.posts);
    add_road_posts(route, assessment, out.posts);
    add_queue_posts(route, assessment, out.posts);
    add_unchecked(route, out.posts);
    std::stable_sort(out.posts.begin(), out.posts.end(),
                     [](const Post& a, const Post& b) { return a.at_m < b.at_m; });
    for (std::size_t i = 0; i < out.posts.size(); ++i)
        out.posts[i].number = i + 1;
    add_wheels(route, assessment, out);
    add_help(route, out);
    out.party = party_words(assessment);
    out.summary = summary_words(out.posts);
    return out;
}

} // namespace waywarden::report
