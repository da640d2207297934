#include "map/hours_rules.hpp"
#include "map/hours_tokens.hpp"

#include <algorithm>
#include <tuple>

namespace waywarden::map::hours {

namespace {

constexpr int k_hour_min = 60, k_day_min = 1440;
constexpr int k_first_year = 1900, k_last_year = 9999;

/// Thrown nowhere: every function says by its result whether it could read what stands there.
class Parser {
  public:
    explicit Parser(std::string_view value) : m_value(value), m_tokens(tokens_of(value)) {}

    std::vector<Rule> parse() {
        std::vector<Rule> out;
        auto link = Rule::Link::normal;
        while (true) {
            if (!is_end_of_rule()) {
                const bool to_fallback =
                    !out.empty() && (out.back().link == Rule::Link::fallback || out.back().added_to_fallback);
                out.push_back(rule(link));
                out.back().added_to_fallback = link == Rule::Link::additional && to_fallback;
            }
            if (peek().kind == Token::Kind::end) return out;
            link = peek().text == "||"  ? Rule::Link::fallback
                   : peek().text == "," ? Rule::Link::additional
                                        : Rule::Link::normal;
            ++m_at;
        }
    }

  private:
    const Token& peek(std::size_t ahead = 0) const {
        return m_tokens[std::min(m_at + ahead, m_tokens.size() - 1)];
    }
    bool is_sign(std::string_view text, std::size_t ahead = 0) const {
        return peek(ahead).kind == Token::Kind::sign && peek(ahead).text == text;
    }
    bool is_word(std::string_view text, std::size_t ahead = 0) const {
        return peek(ahead).kind == Token::Kind::word && peek(ahead).lower == text;
    }
    bool take(std::string_view sign) {
        if (!is_sign(sign)) return false;
        ++m_at;
        return true;
    }
    bool is_number(std::size_t ahead, std::size_t least_digits, std::size_t most_digits) const {
        const Token& token = peek(ahead);
        return token.kind == Token::Kind::number && token.text.size() >= least_digits &&
               token.text.size() <= most_digits;
    }
    bool is_end_of_rule() const { return peek().kind == Token::Kind::end || is_sign(";") || is_sign("||"); }
    /// "9:30", without blanks.
    bool is_clock(std::size_t ahead = 0) const {
        return is_number(ahead, 1, 2) && is_sign(":", ahead + 1) && !peek(ahead + 1).blank_before &&
               is_number(ahead + 2, 2, 2) && !peek(ahead + 2).blank_before;
    }
    bool is_always(std::size_t ahead = 0) const {
        return is_number(ahead, 2, 2) && peek(ahead).number == 24 && is_sign("/", ahead + 1) &&
               is_number(ahead + 2, 1, 1) && peek(ahead + 2).number == 7;
    }
    bool is_year(std::size_t ahead = 0) const {
        return is_number(ahead, 4, 4) && peek(ahead).number >= k_first_year;
    }
    bool is_day(std::size_t ahead = 0) const {
        return is_number(ahead, 1, 2) && !is_clock(ahead) && !is_always(ahead) && peek(ahead).number >= 1 &&
               peek(ahead).number <= 31;
    }
    /// A day's place in the year begins here: "Jan", "2026 Jan", "easter".
    bool is_date(std::size_t ahead = 0) const {
        const std::size_t name = is_year(ahead) ? ahead + 1 : ahead;
        return month_of(peek(name)) != 0 || is_word("easter", name);
    }

    Rule rule(Rule::Link link) {
        Rule out;
        const std::size_t first = m_at;
        if (!selectors_and_state(out) || !(is_end_of_rule() || is_sign(","))) {
            out = Rule{};
            out.readable = false;
            out.state = Opening::unknown;
            while (!is_end_of_rule())
                ++m_at;
        }
        out.link = link;
        const std::size_t begin = m_tokens[first].at;
        const Token& last = m_tokens[m_at - 1];
        const std::size_t quotes = last.kind == Token::Kind::comment ? 2 : 0;
        out.text = m_value.substr(begin, last.at + last.text.size() + quotes - begin);
        return out;
    }

    bool selectors_and_state(Rule& out) {
        const std::size_t first = m_at;
        if (!wide_selectors(out)) return false;
        take(":");
        if (!weekdays(out)) return false;
        if (m_at > first) take(":");
        if (!times(out)) return false;
        const bool selects = m_at > first;
        const bool has_state = state(out);
        if (peek().kind == Token::Kind::comment) {
            out.comment = peek().text;
            ++m_at;
            if (!has_state) out.state = Opening::unknown;
        }
        return selects || has_state || !out.comment.empty();
    }

    bool state(Rule& out) {
        if (is_word("open"))
            out.state = Opening::open;
        else if (is_word("closed") || is_word("off"))
            out.state = Opening::closed;
        else if (is_word("unknown"))
            out.state = Opening::unknown;
        else
            return false;
        ++m_at;
        return true;
    }

    bool wide_selectors(Rule& out) {
        while (true) {
            if (is_date()) {
                if (!dates(out)) return false;
            } else if (is_year()) {
                if (!years(out)) return false;
            } else if (is_word("week")) {
                ++m_at;
                if (!numbers(out.weeks, 1, 53)) return false;
            } else {
                return true;
            }
        }
    }

    bool years(Rule& out) {
        if (is_sign("+", 1)) {
            out.years.push_back({peek().number, k_last_year, 1});
            m_at += 2;
            return true;
        }
        return numbers(out.years, k_first_year, k_last_year);
    }

    /// "1", "1-10", "1-10/2", and several with commas.
    bool numbers(std::vector<Numbers>& out, int least, int most) {
        do {
            Numbers range;
            if (!one_number(range.first, least, most)) return false;
            range.last = range.first;
            if (take("-") && !one_number(range.last, least, most)) return false;
            if (take("/") && !one_number(range.step, 1, most)) return false;
            if (range.last < range.first) return false;
            out.push_back(range);
        } while (is_number(1, 1, 4) && !is_clock(1) && !(is_year(1) && is_date(1)) && take(","));
        return true;
    }

    bool one_number(int& out, int least, int most) {
        if (peek().kind != Token::Kind::number || peek().number < least || peek().number > most) return false;
        out = peek().number;
        ++m_at;
        return true;
    }

    bool dates(Rule& out) {
        if (out.dates.empty()) m_year_of_list.reset();
        do {
            DateSpan span;
            if (out.dates.empty() || is_date()) {
                if (!date_point(span.from)) return false;
                // "2027 Jan-Mar,Oct-Dec": a year that no other follows is meant for all of the list
                if (m_year_of_list && !span.from.year) span.from.year = m_year_of_list;
            } else {
                span.from = out.dates.back().to;
                span.from.day = static_cast<unsigned>(peek().number);
                ++m_at;
            }
            if (out.dates.empty()) m_year_of_list = span.from.year;
            span.to = span.from;
            if (is_sign("-") && !date_end(span)) return false;
            if (is_sign("+") || is_sign("/")) return false;
            if (bool(span.from.day) != bool(span.to.day) && !span.from.easter && !span.to.easter &&
                !span.from.weekday && !span.to.weekday)
                return false;
            if (may_end_first(span)) return false;
            if (span.to.year && (!span.from.year || runs_backwards(span))) return false;
            out.dates.push_back(span);
        } while ((is_date(1) || (is_day(1) && out.dates.back().to.day)) && take(","));
        return true;
    }

    /// "Aug We[1]-Aug Su[1]", "easter-Apr 05": in some years the end comes first, and nobody says what then.
    static bool may_end_first(const DateSpan& span) {
        const bool moves = span.from.easter || span.to.easter || span.from.weekday || span.to.weekday;
        const auto is_spring = [](const DatePoint& p) { return p.easter || p.month == 3 || p.month == 4; };
        if (!moves || (span.from.easter && span.to.easter)) return false;
        if (span.from.easter || span.to.easter) return is_spring(span.from) && is_spring(span.to);
        return span.from.month == span.to.month;
    }

    static bool runs_backwards(const DateSpan& span) {
        const auto place = [](const DatePoint& p, unsigned day) {
            return std::tuple(p.year.value_or(0), p.easter ? 4 : p.month, p.day.value_or(day));
        };
        return place(span.to, 31) < place(span.from, 1);
    }

    bool date_end(DateSpan& span) {
        ++m_at;
        if (is_date()) {
            span.to = DatePoint{};
            if (is_year()) m_year_of_list.reset();
            return date_point(span.to);
        }
        if (!is_day() || !span.from.day) return false;
        span.to.day = static_cast<unsigned>(peek().number);
        span.to.offset_days = 0;
        ++m_at;
        return offset(span.to);
    }

    bool date_point(DatePoint& out) {
        if (is_year()) {
            out.year = peek().number;
            ++m_at;
        }
        if (is_word("easter")) {
            out.easter = true;
            ++m_at;
            return offset(out);
        }
        out.month = month_of(peek());
        if (out.month == 0) return false;
        ++m_at;
        if (is_day()) {
            out.day = static_cast<unsigned>(peek().number);
            ++m_at;
        } else if (weekday_of(peek()) >= 0 && is_sign("[", 1) && is_end_of_moving_date()) {
            out.weekday = static_cast<unsigned>(weekday_of(peek()));
            ++m_at;
            std::vector<int> nth;
            if (!nth_list(nth) || nth.size() != 1) return false;
            out.nth = nth.front();
        }
        return out.day || out.weekday ? offset(out) : true;
    }

    /// "Su[-1]" after a month names a day of its own only as an end of a range of dates: "Mar Su[-1]-Oct
    /// Su[-1]".
    bool is_end_of_moving_date() const {
        const std::size_t close = is_sign("-", 2) ? 4 : 3;
        const bool begins = is_sign("]", close) && is_sign("-", close + 1) && is_date(close + 2);
        const bool ends = m_at >= 3 && m_tokens[m_at - 2].text == "-" && m_tokens[m_at - 3].text == "]";
        return begins || ends;
    }

    /// "+1 day", "-2 days".
    bool offset(DatePoint& out) {
        const bool plus = is_sign("+"), minus = is_sign("-");
        if (!(plus || minus) || !is_number(1, 1, 3) || !(is_word("day", 2) || is_word("days", 2)))
            return true;
        out.offset_days = plus ? peek(1).number : -peek(1).number;
        m_at += 3;
        return true;
    }

    bool is_weekday_part(std::size_t ahead = 0) const {
        return weekday_of(peek(ahead)) >= 0 || is_word("ph", ahead) || is_word("sh", ahead);
    }

    bool weekdays(Rule& out) {
        bool holiday_last = false;
        while (is_weekday_part()) {
            if (weekday_of(peek()) < 0) {
                if (out.weekday_in_holiday) return false;
                (is_word("ph") ? out.public_holiday : out.school_holiday) = true;
                holiday_last = true;
                ++m_at;
            } else {
                if (!weekday_span(out)) return false;
                holiday_last = false;
            }
            if (is_weekday_part(1) && take(",")) continue;
            // "SH Mo-Fr" is the weekdays within the holidays; only where no weekday stands in the list before
            if (holiday_last && out.weekdays.empty() && weekday_of(peek()) >= 0) {
                out.weekday_in_holiday = true;
                continue;
            }
            return !is_weekday_part();
        }
        return true;
    }

    bool weekday_span(Rule& out) {
        WeekdaySpan span;
        span.first = span.last = static_cast<unsigned>(weekday_of(peek()));
        ++m_at;
        if (is_sign("[")) {
            if (!nth_list(span.nth)) return false;
        } else if (take("-")) {
            if (weekday_of(peek()) < 0) return false;
            span.last = static_cast<unsigned>(weekday_of(peek()));
            ++m_at;
        }
        out.weekdays.push_back(span);
        return true;
    }

    bool nth_list(std::vector<int>& out) {
        if (!take("[")) return false;
        do {
            const bool from_end = take("-");
            int first = 0;
            if (!one_number(first, 1, 5)) return false;
            int last = first;
            if (!from_end && take("-") && (!one_number(last, 1, 5) || last < first)) return false;
            for (int n = first; n <= last; ++n)
                out.push_back(from_end ? -n : n);
        } while (take(","));
        return take("]");
    }

    bool is_time(std::size_t ahead = 0) const {
        return is_clock(ahead) || is_sign("(", ahead) || event_of(peek(ahead)) != Event::none;
    }

    static Event event_of(const Token& token) {
        if (token.kind != Token::Kind::word) return Event::none;
        return token.lower == "dawn"      ? Event::dawn
               : token.lower == "sunrise" ? Event::sunrise
               : token.lower == "sunset"  ? Event::sunset
               : token.lower == "dusk"    ? Event::dusk
                                          : Event::none;
    }

    bool times(Rule& out) {
        if (is_always()) {
            m_at += 3;
            return true;
        }
        if (!is_time()) return true;
        do {
            TimeSpan span;
            if (!time_span(span)) return false;
            out.times.push_back(span);
        } while (is_time(1) && take(","));
        return true;
    }

    bool time_span(TimeSpan& out) {
        if (!clock_time(out.from) || (out.from.event == Event::none && out.from.minutes >= k_day_min))
            return false;
        if (take("+")) {
            out.open_end = true;
            out.ends = false;
            return true;
        }
        if (!take("-") || !clock_time(out.to)) return false;
        out.open_end = take("+");
        return !is_sign("/");
    }

    bool clock_time(ClockTime& out) {
        if (take("(")) {
            out.event = event_of(peek());
            if (out.event == Event::none) return false;
            ++m_at;
            const bool minus = is_sign("-");
            if (!take("+") && !take("-")) return false;
            if (!clock(out.minutes) || out.minutes > k_day_min) return false;
            if (minus) out.minutes = -out.minutes;
            return take(")");
        }
        out.event = event_of(peek());
        if (out.event == Event::none) return clock(out.minutes);
        ++m_at;
        return true;
    }

    bool clock(int& minutes) {
        if (!is_clock() || peek(2).number >= k_hour_min) return false;
        minutes = peek().number * k_hour_min + peek(2).number;
        m_at += 3;
        return minutes <= 2 * k_day_min;
    }

    std::string_view m_value;
    std::vector<Token> m_tokens;
    std::size_t m_at = 0;
    std::optional<int> m_year_of_list;
};

} // namespace

std::vector<Rule> parse(std::string_view value) {
    return Parser(value).parse();
}

} // namespace waywarden::map::hours
