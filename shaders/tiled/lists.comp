// Which hulls reach into which tile: a thread a tile and word. A list may hold a beam too many, never one too few.
layout(local_size_x = 64) in;
#include "include/view.glsl"
#include "include/beam.glsl"
#include "tiled/tiles.glsl"

// The most that n.p + d is over a box.
float highest(vec4 plane, vec3 middle, vec3 reach) { return dot(plane.xyz, middle) + plane.w + dot(abs(plane.xyz), reach); }

// False only if the beam lights nothing inside the box.
bool mayLight(int beam, vec3 middle, vec3 reach) {
  int first = beam * BEAM_ROWS;
  vec4 start = beamStartOf(first), end = beamEndOf(first), beamFirstEdgeRow = texelFetch(beamRows, first + BEAM_FIRST_EDGE_ROW);
  vec4 beamNearSquaredRow = texelFetch(beamRows, first + BEAM_NEAR_SQUARED_ROW);
  if (start.xyz != vec3(0.0) && highest(start, middle, reach) < 0.0) return false;
  if (end.xyz != vec3(0.0) && highest(end, middle, reach) < -0.01) return false;
  // Past soft edges some light goes on, to the plane that the lens' far rim sees of each.
  vec4 rim = beamSoftEdges > 0.0 ? texelFetch(beamEdges, int(beamFirstEdge) - 1) : vec4(0.0);
  for (int i = 0; i < int(beamEdgeCount); i++) {
    vec4 edge = texelFetch(beamEdges, int(beamFirstEdge) + i);
    if (highest(i < int(beamSoftEdges) ? edge + rim : edge, middle, reach) < 0.0) return false;
  }
  if (beamOmni > 0.5) return true;
  vec4 beamApexRow = texelFetch(beamRows, first + BEAM_APEX_ROW), beamAxisRow = texelFetch(beamRows, first + BEAM_AXIS_ROW);
  // Distance of the box's middle from the cone, against the ball around the box.
  vec3 to = middle - beamApex;
  float along = dot(to, beamAxis);
  float off = sqrt(max(0.0, dot(to, to) - along * along));
  return off * sqrt(beamCosSquared) - (along + sqrt(beamNearSquared)) * sqrt(beamSinSquared) <= length(reach) + 0.01;
}

void main() {
  int index = int(gl_GlobalInvocationID.x), word = int(gl_WorkGroupID.y);
  int count = grid.x * grid.y;
  if (index >= count) return;
  vec2 low = vec2(tileCorner(ivec2(index % grid.x, index / grid.x)));
  vec2 middle = low + float(TILE) * 0.5;
  const float h = float(TILE) * 0.5;
  Tile tile = tiles[index];
  vec3 about = 0.5 * (tile.low + tile.high), reach = 0.5 * (tile.high - tile.low);
  uint seen = 0u, lit = 0u;
  for (int i = 0; i < 32; i++) {
    int k = 32 * word + i;
    if (k >= grid.w) break;
    Outline o = outlines[k];
    bool out_ = any(greaterThan(o.box.xy, middle + h)) || any(lessThan(o.box.zw, middle - h))
      || dot(o.sideNormal, middle) - h * (abs(o.sideNormal.x) + abs(o.sideNormal.y)) > o.sideMost
      || dot(o.otherNormal, middle) - h * (abs(o.otherNormal.x) + abs(o.otherNormal.y)) > o.otherMost
      || dot(o.endsNormal, middle) - h * (abs(o.endsNormal.x) + abs(o.endsNormal.y)) > o.endsMost
      || dot(o.endsNormal, middle) + h * (abs(o.endsNormal.x) + abs(o.endsNormal.y)) < o.endsLeast
      || o.nearest > tile.farthest;
    if (out_) continue;
    seen |= 1u << i;
    if (tile.filled > 0.0 && mayLight(hulls[k].beam, about, reach)) lit |= 1u << i;
  }
  lists[index * grid.z + word] = seen;
  lists[(count + index) * grid.z + word] = lit;
}
