// The picture in tiles of 16 x 16 pixels, and for each tile the beams that may be seen in it. Filled by Passes/TileLists.cs.
// A list is one bit a hull, word w holding hulls 32 w to 32 w + 31: beams are added in one order, whatever ran first.
const int TILE = 16;

struct Hull {         // a beam in this view
  uint firstCorner;   // corners lie in pairs: near end, far end
  uint pairs;         // 0: all over the picture
  int beam;           // number of the beam, or -1 for none
  uint spare;
};

struct Outline {      // of a hull in the picture, pixels: all p with n.p <= most for each side
  vec4 box;           // low, high
  vec4 side;          // n, most; nearest depth, m
  vec4 other;         // n, most
  vec4 ends;          // n, most, least
};

struct Tile {         // what the surfaces in a tile span
  vec4 low;           // m; w the farthest distance from the eye, m
  vec4 high;          // m; w 1 where there is a surface at all
};

layout(std430, binding = 0) readonly buffer Hulls { Hull hulls[]; };
layout(std430, binding = 1) readonly buffer Corners { vec4 corners[]; };
layout(std430, binding = 2) buffer Outlines { Outline outlines[]; };
layout(std430, binding = 3) buffer Tiles { Tile tiles[]; };
layout(std430, binding = 4) buffer Lists { uint lists[]; }; // those for the haze, then those for surfaces

uniform ivec4 grid;   // tiles across and up, words a list, hulls
uniform ivec4 area;   // pixels that are asked for: x, y, width, height; tiles begin at multiples of TILE

ivec2 tileCorner(ivec2 tile) { return (area.xy / TILE + tile) * TILE; }
bool asked(ivec2 at) { return all(greaterThanEqual(at, area.xy)) && all(lessThan(at, area.xy + area.zw)); }
