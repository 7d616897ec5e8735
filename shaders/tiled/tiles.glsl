// The picture in tiles of 16 x 16 pixels, and for each tile the beams that may be seen in it. Structs as in Layout/HullRows.cs; hulls and corners
// are filled by Passes/TileLists.cs.
// A list is one bit a hull, word w holding hulls 32 w to 32 w + 31: beams are added in one order, whatever ran first.
#include "layout/tiles.glsl"
layout(std430, binding = HULLS_BINDING) readonly buffer Hulls { Hull hulls[]; };
layout(std430, binding = CORNERS_BINDING) readonly buffer Corners { HullCorner corners[]; };
layout(std430, binding = OUTLINES_BINDING) buffer Outlines { Outline outlines[]; };
layout(std430, binding = TILES_BINDING) buffer Tiles { Tile tiles[]; };
layout(std430, binding = LISTS_BINDING) buffer Lists { uint lists[]; }; // those for the haze, then those for surfaces

uniform ivec4 grid;   // tiles across and up, words a list, hulls
uniform ivec4 area;   // pixels that are asked for: x, y, width, height; tiles begin at multiples of TILE

ivec2 tileCorner(ivec2 tile) { return (area.xy / TILE + tile) * TILE; }
bool asked(ivec2 at) { return all(greaterThanEqual(at, area.xy)) && all(lessThan(at, area.xy + area.zw)); }
