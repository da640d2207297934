#include "error.hpp"
#include "geo/grid_projection.hpp"
#include "geo/grid_reference.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <thread>
#include <vector>

using namespace waywarden;
using geo::GridSystem;
using geo::Position;

namespace {

constexpr double k_minute = 1.0 / 60, k_second = 1.0 / 3600;

struct TestPoint {
    std::string id;
    double lat_deg, lon_deg, easting_m, northing_m;
    std::string six_figures; ///< "" where 5 m could change it
};

// Source: Ordnance Survey, OSTN15/OSGM15 Developer Pack, test input and output files (ETRS89 to OSGB36).
// The six figures follow from easting and northing by truncation.
const std::vector<TestPoint> k_ostn15_points{
    {"TP01", 49.92226393730, -6.29977752014, 91492.146, 11318.804, "SV 914 113"},
    {"TP02", 49.96006137820, -5.20304609998, 170370.718, 11572.405, "SW 703 115"},
    {"TP03", 50.43885825610, -4.10864563561, 250359.811, 62016.569, "SX 503 620"},
    {"TP04", 50.57563665000, -1.29782277240, 449816.371, 75335.861, "SZ 498 753"},
    {"TP05", 50.93127937910, -1.45051433700, 438710.920, 114792.250, "SU 387 147"},
    {"TP06", 51.40078220140, -3.55128349240, 292184.870, 168003.465, ""},
    {"TP07", 51.37447025550, 1.44454730409, 639821.835, 169565.858, "TR 398 695"},
    {"TP08", 51.42754743020, -2.54407618349, 362269.991, 169978.690, "ST 622 699"},
    {"TP09", 51.48936564950, -0.11992557180, 530624.974, 178388.464, "TQ 306 783"},
    {"TP10", 51.85890896400, -4.30852476960, 241124.584, 220332.641, "SN 411 203"},
    {"TP11", 51.89436637350, 0.89724327012, 599445.590, 225722.826, "TL 994 257"},
    {"TP12", 52.25529381630, -2.15458614387, 389544.190, 261912.153, "SO 895 619"},
    {"TP13", 52.25160951230, -0.91248956970, 474335.969, 262047.755, "SP 743 620"},
    {"TP14", 52.75136687170, 0.40153547065, 562180.547, 319784.995, "TF 621 197"},
    {"TP15", 52.96219109410, -1.19747655922, 454002.834, 340834.943, ""},
    {"TP16", 53.34480280190, -2.64049320810, 357455.843, 383290.436, "SJ 574 832"},
    {"TP17", 53.41628516040, -4.28918069756, 247958.971, 393492.909, "SH 479 934"},
    {"TP18", 53.41630925420, -4.28917792869, 247959.241, 393495.583, ""},
    {"TP19", 53.77911025760, -3.04045490691, 331534.564, 431920.794, "SD 315 319"},
    {"TP20", 53.80021519630, -1.66379168242, 422242.186, 433818.701, "SE 222 338"},
    {"TP21", 54.08666318080, -4.63452168212, 227778.330, 468847.388, "SC 277 688"},
    {"TP22", 54.11685144290, -0.07773133187, 525745.670, 470703.214, ""},
    {"TP23", 54.32919541010, -4.38849118133, 244780.636, 495254.887, "SC 447 952"},
    {"TP24", 54.89542340420, -2.93827741149, 339921.145, 556034.761, "NY 399 560"},
    {"TP25", 54.97912273660, -1.61657685184, 424639.355, 565012.703, "NZ 246 650"},
    {"TP26", 55.85399952950, -4.29649016251, 256340.925, 664697.269, ""},
    {"TP27", 55.92478265510, -3.29479219337, 319188.434, 670947.534, "NT 191 709"},
    {"TP28", 57.00606696050, -5.82836691850, 167634.202, 797067.144, "NM 676 970"},
    {"TP29", 57.13902518960, -2.04856030746, 397160.491, 805349.736, "NJ 971 053"},
    {"TP30", 57.48625000720, -4.21926398555, 267056.768, 846176.972, "NH 670 461"},
    {"TP31", 57.81351838410, -8.57854456076, 9587.909, 899448.996, "NF 095 994"},
    {"TP32", 58.21262247180, -7.59255560556, 71713.132, 938516.404, "NA 717 385"},
    {"TP33", 58.51560361300, -6.26091455533, 151968.652, 966483.780, "NB 519 664"},
    {"TP34", 58.58120461280, -3.72631022121, 299721.891, 967202.992, ""},
    {"TP35", 59.03743871190, -3.21454001115, 330398.323, 1017347.016, ""},
    {"TP36", 59.09335035320, -4.41757674598, 261596.778, 1025447.602, ""},
    {"TP37", 59.09671617400, -5.82799339844, 180862.461, 1029604.114, ""},
    {"TP38", 59.53470794490, -1.62516966058, 421300.525, 1072147.239, ""},
    {"TP39", 59.85409913890, -1.27486910356, 440725.073, 1107878.448, "HU 407 078"},
    {"TP40", 60.13308091660, -2.07382822798, 395999.668, 1138728.951, ""},
};

Position at(double lat_deg, double lon_deg) {
    return {lon_deg, lat_deg};
}

} // namespace

TEST_CASE(
    "British grid: the 40 test points of the OSTN15 transformation, within the 5 m of the Helmert shift") {
    REQUIRE(k_ostn15_points.size() == 40);
    double sum2 = 0, worst_m = 0;
    for (const TestPoint& point : k_ostn15_points) {
        CAPTURE(point.id);
        const auto got = geo::grid_position(at(point.lat_deg, point.lon_deg), GridSystem::british);
        const double off_m = std::hypot(got.easting_m - point.easting_m, got.northing_m - point.northing_m);
        CHECK(off_m < 5);
        sum2 += off_m * off_m;
        worst_m = std::max(worst_m, off_m);
        if (!point.six_figures.empty())
            CHECK(geo::grid_reference(at(point.lat_deg, point.lon_deg), GridSystem::british) ==
                  point.six_figures);
    }
    // Error of EPSG:1314 over the 40 points as computed with the cs2cs program of PROJ 9.1: rms 2.23 m,
    // worst 4.94 m.
    CHECK(std::sqrt(sum2 / 40) == doctest::Approx(2.23).epsilon(0.003));
    CHECK(worst_m == doctest::Approx(4.94).epsilon(0.002));
}

TEST_CASE("British projection alone: worked examples") {
    // Source: Ordnance Survey, A guide to coordinate systems in Great Britain, annexe C (Caister water
    // tower).
    const Position caister =
        at(52 + 39 * k_minute + 27.2531 * k_second, 1 + 43 * k_minute + 4.5177 * k_second);
    const auto tower = geo::british_grid_of_osgb36(caister);
    CHECK(std::abs(tower.easting_m - 651409.903) < 0.001);
    CHECK(std::abs(tower.northing_m - 313177.270) < 0.001);
    // Source: GeographicLib's TransverseMercatorProj program for the same place.
    CHECK(std::abs(tower.convergence_deg - 2.957376687) < 1e-6);
    const Position back = geo::osgb36_of_british_grid(651409.903, 313177.270);
    CHECK(std::abs(back.lat_deg - caister.lat_deg) < 1e-8);
    CHECK(std::abs(back.lon_deg - caister.lon_deg) < 1e-8);
    // Source: IOGP Guidance Note 7-2, Transverse Mercator; that text computes to a centimetre.
    const auto iogp = geo::british_grid_of_osgb36(at(50.5, 0.5));
    CHECK(std::abs(iogp.easting_m - 577274.99) < 0.015);
    CHECK(std::abs(iogp.northing_m - 69740.50) < 0.015);
}

TEST_CASE("the datum shift is applied where PROJ's own choice applies none") {
    // Source: EPSG:1314 with the cs2cs program of PROJ 9.1; its default choice gives 253733.020, -98072.981
    // here.
    const auto got = geo::grid_position(at(49, -4), GridSystem::british);
    CHECK(std::abs(got.easting_m - 253810.472) < 0.001);
    CHECK(std::abs(got.northing_m + 98157.938) < 0.001);
    CHECK_FALSE(got.in_area);
    CHECK(geo::grid_reference(at(49, -4), GridSystem::british).substr(0, 6) == "30U VV");
}

TEST_CASE("summits and places by their published British references") {
    // Sources: published references of the summits; Greenwich and Lerwick through the OSTN15 grid.
    CHECK(geo::grid_reference(at(56.796849, -5.003508), GridSystem::british) == "NN 166 712");
    CHECK(geo::grid_reference(at(53.068497, -4.076231), GridSystem::british) == "SH 609 543");
    CHECK(geo::grid_reference(at(54.454167, -3.211667), GridSystem::british) == "NY 215 072");
    CHECK(geo::grid_reference(at(51.477811, -0.001475), GridSystem::british) == "TQ 388 773");
    CHECK(geo::grid_reference(at(60.155, -1.145), GridSystem::british) == "HU 475 414");
    CHECK(geo::grid_reference(at(51.477811, -0.001475), GridSystem::british, 2) == "TQ 3 7");
    CHECK(geo::grid_reference(at(51.477811, -0.001475), GridSystem::british, 4) == "TQ 38 77");
}

TEST_CASE("references truncate and are padded with zeros") {
    struct Row {
        double easting_m, northing_m;
        int figures;
        const char* reference;
    };
    // Source: OS guide, the square is named by its south-west corner; numbers of its worked example.
    for (const Row& row : {Row{651409.903, 313177.270, 4, "TG 51 13"},
                           {651409.903, 313177.270, 6, "TG 514 131"},
                           {651409.903, 313177.270, 8, "TG 5140 1317"},
                           {651409.903, 313177.270, 10, "TG 51409 13177"},
                           {599999.9, 299999.9, 6, "TL 999 999"},
                           {9587.909, 899448.996, 6, "NF 095 994"},
                           {400000, 100000, 6, "SU 000 000"},
                           {0, 0, 10, "SV 00000 00000"},
                           {500000, 1200000, 6, "JL 000 000"},
                           {499999.5, 1199999.5, 10, "HU 99999 99999"}}) {
        CAPTURE(row.reference);
        const Position p = geo::position_on_grid(row.easting_m, row.northing_m, GridSystem::british);
        CHECK(geo::grid_reference(p, GridSystem::british, row.figures) == row.reference);
    }
}

TEST_CASE("outside the letters of a grid the MGRS reference stands") {
    CHECK(geo::grid_reference(at(48.8583, 2.2945), GridSystem::irish, 10) == "31U DQ 48251 11943");
    CHECK(geo::grid_reference(geo::position_on_grid(-0.01, 100000, GridSystem::british), GridSystem::british)
              .substr(0, 3) == "29U");
    CHECK(geo::grid_reference(geo::position_on_grid(699999, 100000, GridSystem::british), GridSystem::british)
              .substr(0, 2) == "TR");
    CHECK(geo::grid_reference(geo::position_on_grid(700001, 100000, GridSystem::british), GridSystem::british)
              .substr(0, 2) == "31");
    CHECK(geo::grid_reference(at(0, 90), GridSystem::british).substr(0, 2) == "46");
    CHECK(geo::grid_reference(at(89.9, 0), GridSystem::british).substr(0, 1) == "Z");
    CHECK(geo::grid_reference(at(-90, 0), GridSystem::irish).substr(0, 1) == "B");
    CHECK_THROWS_AS(geo::grid_reference(at(91, 0), GridSystem::british), InternalError);
    CHECK_THROWS_AS(geo::grid_reference(at(std::nan(""), 0), GridSystem::utm), InternalError);
    CHECK_THROWS_AS(geo::grid_reference(at(52, 0), GridSystem::british, 7), InternalError);
}

TEST_CASE("Irish grid") {
    struct Row {
        double lat_deg, lon_deg, easting_m, northing_m;
        const char* reference;
    };
    // Sources: the Spire of Dublin, published on the Irish Grid as O 15904 34671; the others with PROJ's
    // "TM75 to WGS 84 (2)" (1 m).
    for (const Row& row : {Row{53.3497960, -6.2602485, 315904, 234671, "O 159 346"},
                           {54.1801, -5.9208, 335800.00, 327673.98, ""},
                           {51.9990, -9.7430, 80341.67, 84371.31, "V 803 843"},
                           {54.6, -5.93, 333825.94, 374388.20, "J 338 743"}}) {
        CAPTURE(row.reference);
        const auto got = geo::grid_position(at(row.lat_deg, row.lon_deg), GridSystem::irish);
        CHECK(std::hypot(got.easting_m - row.easting_m, got.northing_m - row.northing_m) < 0.02);
        if (row.reference != std::string()) // "": less than a centimetre from the edge of a square
            CHECK(geo::grid_reference(at(row.lat_deg, row.lon_deg), GridSystem::irish) == row.reference);
    }
    // Source for the letters: README of the R package igr.
    CHECK(geo::grid_reference(geo::position_on_grid(1, 400001, GridSystem::irish), GridSystem::irish) ==
          "A 000 000");
    CHECK(geo::grid_reference(geo::position_on_grid(490000, 0, GridSystem::irish), GridSystem::irish) ==
          "Z 900 000");
    CHECK(geo::grid_reference(geo::position_on_grid(500000, 1, GridSystem::irish), GridSystem::irish).size() >
          9);
}

TEST_CASE("Belfast: PROJ has an answer on the British grid, so the region chooses") {
    CHECK(geo::grid_reference(at(54.6, -5.93), GridSystem::irish) == "J 338 743");
    CHECK(geo::grid_reference(at(54.6, -5.93), GridSystem::british).substr(0, 2) != "J ");
}

TEST_CASE("UTM and MGRS") {
    struct Row {
        double lat_deg, lon_deg;
        int figures;
        const char* reference;
    };
    // Sources: manual of GeographicLib's GeoConvert program (the first); that program and the npm package
    // mgrs 2.2.0.
    for (const Row& row : {Row{33.3, 44.4, 6, "38S MB 441 847"},
                           {56.796849, -5.003508, 10, "30V UH 77638 96562"},
                           {53.068497, -4.076231, 10, "30U VD 27889 80431"},
                           {54.454167, -3.211667, 10, "30U VF 86276 34075"},
                           {51.477811, -0.001475, 10, "30U YC 08215 07225"},
                           {60.155, -1.145, 10, "30V XM 02974 70119"},
                           {48.8583, 2.2945, 10, "31U DQ 48251 11943"},
                           {46.5586, 7.8353, 10, "32T MS 10726 56773"}}) {
        CAPTURE(row.reference);
        CHECK(geo::grid_reference(at(row.lat_deg, row.lon_deg), GridSystem::utm, row.figures) ==
              row.reference);
    }
    const auto nevis = geo::grid_position(at(56.796849, -5.003508), GridSystem::utm);
    CHECK(std::abs(nevis.easting_m - 377638.7) < 0.06);
    CHECK(std::abs(nevis.northing_m - 6296562.8) < 0.06);
    CHECK(std::abs(nevis.convergence_deg + 1.67660979653) < 1e-7);
}

TEST_CASE("references are read back") {
    struct Row {
        const char* text;
        GridSystem system;
        double easting_m, northing_m, size_m;
    };
    // Source for the Irish rows: README of the R package igr.
    for (const Row& row : {Row{"SK 914 113", GridSystem::british, 491400, 311300, 100},
                           {"sk914113", GridSystem::british, 491400, 311300, 100},
                           {"TG 51409 13177", GridSystem::british, 651409, 313177, 1},
                           {"SV", GridSystem::british, 0, 0, 100000},
                           {"HP 9 9", GridSystem::british, 490000, 1290000, 10000},
                           {"D12", GridSystem::irish, 310000, 420000, 10000},
                           {"J53", GridSystem::irish, 350000, 330000, 10000},
                           {"M5090", GridSystem::irish, 150000, 290000, 1000},
                           {"N876274", GridSystem::irish, 287600, 227400, 100},
                           {"S1234550000", GridSystem::irish, 212345, 150000, 1},
                           {"W", GridSystem::irish, 100000, 0, 100000}}) {
        CAPTURE(row.text);
        const auto square = geo::parse_grid_reference(row.text, row.system);
        REQUIRE(square);
        CHECK(square->size_m == row.size_m);
        const auto corner = geo::grid_position(square->corner, row.system);
        CHECK(std::hypot(corner.easting_m - row.easting_m, corner.northing_m - row.northing_m) < 1e-4);
        const auto middle = geo::grid_position(square->middle, row.system);
        CHECK(middle.easting_m - row.easting_m == doctest::Approx(row.size_m / 2).epsilon(1e-3));
    }
    // Source: manual of GeographicLib's GeoConvert program, which gives the middle.
    const auto square = geo::parse_grid_reference("38SMB4488", GridSystem::utm);
    REQUIRE(square);
    CHECK(std::abs(square->middle.lat_deg - 33.33424) < 1e-5);
    CHECK(std::abs(square->middle.lon_deg - 44.40363) < 1e-5);
    for (const char* text : {"", "S", "SI 123 456", "SK 914 11", "SK 914113 1", "AA 123 456", "ZZ 1 1",
                             "SK 123456 123456", "914113", "SK 9l4 113", "SK -14 113", "INVALID", "INV"})
        CHECK_FALSE(geo::parse_grid_reference(text, GridSystem::british));
}

TEST_CASE("every reference names a square that holds the place (property)") {
    unsigned state = 12345;
    const auto next = [&state] { return (state = state * 1664525u + 1013904223u) / 4294967296.0; };
    for (int i = 0; i < 2000; ++i) {
        const GridSystem system = i % 3 == 0   ? GridSystem::british
                                  : i % 3 == 1 ? GridSystem::irish
                                               : GridSystem::utm;
        const Position p = system == GridSystem::utm ? at(-79 + 160 * next(), -180 + 360 * next())
                           : system == GridSystem::irish
                               ? geo::position_on_grid(5e5 * next(), 5e5 * next(), system)
                               : geo::position_on_grid(7e5 * next(), 13e5 * next(), system);
        const std::string text = geo::grid_reference(p, system, 2 + 2 * (i % 5));
        CAPTURE(text);
        const auto square = geo::parse_grid_reference(text, system);
        REQUIRE(square);
        CHECK(geo::distance_m(square->middle, p) < square->size_m * 0.72); // half a diagonal, and UTM's scale
        if (system == GridSystem::utm) continue;
        CHECK(geo::grid_reference(square->middle, system, 2 + 2 * (i % 5)) == text);
        const auto corner = geo::grid_position(square->corner, system), here = geo::grid_position(p, system);
        CHECK(here.easting_m - corner.easting_m > -1e-3);
        CHECK(here.easting_m - corner.easting_m < square->size_m + 1e-3);
        CHECK(here.northing_m - corner.northing_m > -1e-3);
        CHECK(here.northing_m - corner.northing_m < square->size_m + 1e-3);
    }
}

TEST_CASE("threads get the same references") {
    std::vector<std::vector<std::string>> got(4);
    std::vector<std::thread> threads;
    for (auto& list : got)
        threads.emplace_back([&list] {
            for (int round = 0; round < 20; ++round)
                for (const TestPoint& point : k_ostn15_points)
                    list.push_back(
                        geo::grid_reference(at(point.lat_deg, point.lon_deg), GridSystem::british, 10));
        });
    for (std::thread& thread : threads)
        thread.join();
    for (const auto& list : got)
        CHECK(list == got.front());
}

TEST_SUITE("real") {
    // Source: tables of British grid points with positions, good to about 0.1 m against a Helmert shift.
    TEST_CASE("tables of British grid points") {
        for (const std::string name : {"grid-bng", "bngtest"}) {
            const std::string base = std::string(WAYWARDEN_SHARED_DATA) + "/grid-refs/" + name;
            std::ifstream table(base + ".csv"), positions(base + (name == "bngtest" ? ".gpx" : "~csv.gpx"));
            if (!table || !positions) {
                MESSAGE("skipped: no " << base << " here");
                continue;
            }
            std::vector<Position> places;
            for (std::string line; std::getline(positions, line);) {
                double lat = 0, lon = 0;
                const auto from = line.find("<wpt lat=");
                if (from != std::string::npos &&
                    std::sscanf(line.c_str() + from, "<wpt lat=\"%lf\" lon=\"%lf\"", &lat, &lon) == 2)
                    places.push_back(at(lat, lon));
            }
            std::string line;
            std::getline(table, line);
            std::size_t row = 0;
            for (; std::getline(table, line); ++row) {
                CAPTURE(line);
                char letters[3] = {};
                int number = 0;
                double east = 0, north = 0;
                REQUIRE(std::sscanf(line.c_str(), "%d,%2[A-Z],%lf,%lf", &number, letters, &east, &north) ==
                        4);
                REQUIRE(row < places.size());
                const auto corner = geo::parse_grid_reference(letters, GridSystem::british);
                REQUIRE(corner);
                const auto square = geo::grid_position(corner->corner, GridSystem::british);
                const auto got = geo::grid_position(places[row], GridSystem::british);
                CHECK(std::hypot(got.easting_m - square.easting_m - east,
                                 got.northing_m - square.northing_m - north) <
                      0.9); // the table is in whole metres
                CHECK(geo::grid_reference(places[row], GridSystem::british).substr(0, 2) == letters);
            }
            CHECK(row == places.size());
            CHECK(row >= 2);
        }
    }
}
