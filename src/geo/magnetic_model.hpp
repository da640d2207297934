#pragma once

namespace waywarden::geo {

/// The coefficients as published: src/geo/models/README.md. Made from that file when the program is built.
extern const char* const k_magnetic_model;

} // namespace waywarden::geo
