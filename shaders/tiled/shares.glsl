// Light that several workgroups find for one cell, each its share, to be added up in one order by sum.comp. A band is some rows of tiles.
layout(std430, binding = SHARES_BINDING) buffer Shares { vec4 shares[]; };
uniform ivec4 band; // first row of tiles, cells across and up, shares

int shareAt(int share, ivec2 inBand) { return (share * band.z + inBand.y) * band.y + inBand.x; }

// Where a thread's cell lies in a square of some cells a side: 32 threads that run together take 8 x 4.
ivec2 placeIn(int thread, int side) {
  if (side < 8) return ivec2(thread % side, thread / side);
  int block = thread / 32, lane = thread % 32, across = side / 8;
  return ivec2(8 * (block % across) + lane % 8, 4 * (block / across) + lane / 8);
}
