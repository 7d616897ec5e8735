// Which hulls reach into which tile: a thread a tile and word. A list may hold a beam too many, never one too few.
layout(local_size_x = 64) in;
#include "include/view.glsl"
#include "include/beam.glsl"
#include "tiled/tiles.glsl"

// The most that n.p + d is over a box.
float highest(vec4 plane, vec3 middle, vec3 reach) { return dot(plane.xyz, middle) + plane.w + dot(abs(plane.xyz), reach); }

// False only if the beam lights nothing inside the box.
bool mayLight(int beam, vec3 middle, vec3 reach) {
  int row = beam * BEAM_ROWS;
  vec4 start = texelFetch(beamRows, row + 5), end = texelFetch(beamRows, row + 6), more = texelFetch(beamRows, row + 7);
  if (start.xyz != vec3(0.0) && highest(start, middle, reach) < 0.0) return false;
  if (end.xyz != vec3(0.0) && highest(end, middle, reach) < -0.01) return false;
  for (int i = 0; i < int(more.y); i++) if (highest(texelFetch(beamEdges, int(more.x) + i), middle, reach) < 0.0) return false;
  if (more.z > 0.5) return true;
  vec4 apex = texelFetch(beamRows, row), axis = texelFetch(beamRows, row + 1);
  // Distance of the box's middle from the cone, against the ball around the box.
  vec3 to = middle - apex.xyz;
  float along = dot(to, axis.xyz);
  float off = sqrt(max(0.0, dot(to, to) - along * along));
  return off * sqrt(apex.w) - along * sqrt(axis.w) <= length(reach) + 0.01;
}

void main() {
  int index = int(gl_GlobalInvocationID.x), word = int(gl_WorkGroupID.y);
  int count = grid.x * grid.y;
  if (index >= count) return;
  vec2 low = vec2(tileCorner(ivec2(index % grid.x, index / grid.x)));
  vec2 middle = low + float(TILE) * 0.5;
  const float h = float(TILE) * 0.5;
  Tile tile = tiles[index];
  vec3 about = 0.5 * (tile.low.xyz + tile.high.xyz), reach = 0.5 * (tile.high.xyz - tile.low.xyz);
  uint seen = 0u, lit = 0u;
  for (int i = 0; i < 32; i++) {
    int k = 32 * word + i;
    if (k >= grid.w) break;
    Outline o = outlines[k];
    bool out_ = any(greaterThan(o.box.xy, middle + h)) || any(lessThan(o.box.zw, middle - h))
      || dot(o.side.xy, middle) - h * (abs(o.side.x) + abs(o.side.y)) > o.side.z
      || dot(o.other.xy, middle) - h * (abs(o.other.x) + abs(o.other.y)) > o.other.z
      || dot(o.ends.xy, middle) - h * (abs(o.ends.x) + abs(o.ends.y)) > o.ends.z
      || dot(o.ends.xy, middle) + h * (abs(o.ends.x) + abs(o.ends.y)) < o.ends.w
      || o.side.w > tile.low.w;
    if (out_) continue;
    seen |= 1u << i;
    if (tile.high.w > 0.0 && mayLight(hulls[k].beam, about, reach)) lit |= 1u << i;
  }
  lists[index * grid.z + word] = seen;
  lists[(count + index) * grid.z + word] = lit;
}
