#include "survey/queue.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace waywarden::survey {

namespace {

constexpr double k_stile_s = 15, k_step_s = 8, k_kissing_gate_s = 6, k_weave_s = 3, k_file_s = 1;
constexpr double k_two_abreast_m = 1.2;

constexpr std::array k_by_kind{
    std::pair<std::string_view, double>{"stile", k_stile_s},
    std::pair<std::string_view, double>{"step_over", k_step_s},
    std::pair<std::string_view, double>{"horse_stile", k_step_s},
    std::pair<std::string_view, double>{"log", k_step_s},
    std::pair<std::string_view, double>{"kissing_gate", k_kissing_gate_s},
    std::pair<std::string_view, double>{"squeezer", k_kissing_gate_s},
    std::pair<std::string_view, double>{"turnstile", k_kissing_gate_s},
    std::pair<std::string_view, double>{"full-height_turnstile", k_kissing_gate_s},
    std::pair<std::string_view, double>{"cycle_barrier", k_weave_s},
    std::pair<std::string_view, double>{"motorcycle_barrier", k_weave_s},
    std::pair<std::string_view, double>{"chain", k_weave_s},
    std::pair<std::string_view, double>{"rope", k_weave_s},
    std::pair<std::string_view, double>{"bar", k_weave_s},
    std::pair<std::string_view, double>{"cattle_grid", k_weave_s},
    std::pair<std::string_view, double>{"gate", k_file_s},
    std::pair<std::string_view, double>{"swing_gate", k_file_s},
    std::pair<std::string_view, double>{"lift_gate", k_file_s},
    std::pair<std::string_view, double>{"bump_gate", k_file_s},
    std::pair<std::string_view, double>{"sliding_gate", k_file_s},
    std::pair<std::string_view, double>{"hampshire_gate", k_file_s},
    std::pair<std::string_view, double>{"wicket_gate", k_file_s},
    std::pair<std::string_view, double>{"sally_port", k_file_s},
    std::pair<std::string_view, double>{"entrance", k_file_s},
    std::pair<std::string_view, double>{"gap", k_file_s},
    std::pair<std::string_view, double>{"bollard", k_file_s},
    std::pair<std::string_view, double>{"block", k_file_s},
    std::pair<std::string_view, double>{"planter", k_file_s},
    std::pair<std::string_view, double>{"bus_trap", k_file_s},
    std::pair<std::string_view, double>{"sump_buster", k_file_s},
    std::pair<std::string_view, double>{"kent_carriage_gap", k_file_s},
};

} // namespace

std::optional<double> pass_s_per_walker(std::string_view barrier_kind) {
    const auto* const at = std::find_if(k_by_kind.begin(), k_by_kind.end(),
                                        [&](const auto& one) { return one.first == barrier_kind; });
    return at == k_by_kind.end() ? std::nullopt : std::optional(at->second);
}

std::optional<double> narrow_s_per_walker(double width_m) {
    return width_m < k_two_abreast_m ? std::optional(k_file_s) : std::nullopt;
}

double queue_min(double s_per_walker, int walkers) {
    return s_per_walker * std::max(walkers, 1) / 60;
}

} // namespace waywarden::survey
