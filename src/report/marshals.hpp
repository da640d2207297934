#pragma once

#include "assess.hpp"

#include <optional>
#include <string>
#include <vector>

/// The sheet of somebody who organises a walk for many: where marshals are needed, where people queue, where
/// wheels cannot go, where help gets in. What is in it, whatever the format it is written in.
namespace waywarden::report {

/// Whether the rule of the sheet asks for marshals at a place; the worse the later.
enum class Call { not_called_for, advised, look_first, needed, do_not_cross };
const char* to_string(Call call);  ///< "needed", for machines
const char* call_words(Call call); ///< "Do not cross here", for people

/// A place the organiser has to think of. Words are "" where a question does not arise there; what is not
/// known is said to be so.
struct Post {
    std::size_t number = 0;    ///< from 1, in order of the walk
    std::string kind;          ///< road, rail, water, gate, stile, barrier, narrow, along_road,
                               ///< not_checked
    double at_m = 0, to_m = 0; ///< equal for a point
    geo::Position position;
    std::string what;     ///< "A9979 (major road)"
    std::string limit;    ///< speed limit, and how it is known
    std::string facility; ///< what helps people across
    std::string sight;    ///< sight and what the party needs, in a sentence
    std::string time;     ///< for a group and for all
    std::optional<double> sight_low_m, sight_high_m, sight_need_m, group_s, all_min, queue_min;
    Call call = Call::look_first;
    std::string why;
    std::string stand; ///< who stands where
    std::string osm;
};

/// Something about the ground underfoot, and help and comfort beside it.
struct Feature {
    std::string kind; ///< steps, surface, vehicle_access, farthest_from_road, or the kind of place
    double at_m = 0, to_m = 0;
    geo::Position position;
    std::string what;
    std::string osm;
};

struct MarshalSheet {
    std::vector<Post> posts;
    std::vector<Feature> wheels;   ///< steps, stiles and surfaces against wheels and weak knees
    std::vector<Feature> vehicles; ///< where one reaches the route; the farthest point from one last
    std::vector<Feature> places;
    std::string party;                     ///< how many walk, or that nobody said
    std::string summary;                   ///< how many places need whom
    std::vector<std::string> wheels_words; ///< what follows for a walk without steps
    std::vector<std::string> help_words;   ///< how far help is, and what is not known of it
    std::vector<std::string> places_words; ///< kinds of place of which none is recorded
};

/// The rule by which the sheet calls for marshals, sentence by sentence. Common practice, no source.
const std::vector<std::string>& marshal_rule();
/// What a marshal may not do, and what the sheet cannot know.
const std::vector<std::string>& marshal_cautions();

MarshalSheet marshal_sheet(const Assessed& route, const Assessment& assessment);

/// Its parts: what is crossed and walked along, barriers and narrow places; in order of the walk. Numbers are
/// not given yet.
void add_crossing_posts(const Assessed& route, const Assessment& assessment, std::vector<Post>& out);
void add_road_posts(const Assessed& route, const Assessment& assessment, std::vector<Post>& out);
void add_queue_posts(const Assessed& route, const Assessment& assessment, std::vector<Post>& out);
void add_wheels(const Assessed& route, const Assessment& assessment, MarshalSheet& out);
void add_help(const Assessed& route, MarshalSheet& out);

} // namespace waywarden::report
