// Light that matt surfaces throw on a piece of scenery: between the middles of its grid's cells by distance, between the ways that a cell's surfaces face
// by the squares of the normal. Values of the piece stand behind its first rows, as Light's MattGrid writes them.
uniform samplerBuffer mattRows; // Layout/MattRows.cs, filled by Scenery/MattStore.cs
#include "layout/matt.glsl"

vec3 mattLux(int first, vec3 place, vec3 normal) {
  if (first < 0) return vec3(0.0);
  vec4 mattLowRow = texelFetch(mattRows, first + MATT_LOW_ROW), mattFinenessRow = texelFetch(mattRows, first + MATT_FINENESS_ROW),
    mattTurnRow = texelFetch(mattRows, first + MATT_TURN_ROW);
  ivec3 cells = ivec3(mattColumns, mattAcross, mattLayers);
  vec3 at = clamp((place - mattLow) * mattFineness - 0.5, vec3(0.0), vec3(cells - 1));
  ivec3 low = ivec3(at);
  ivec3 high = min(low + 1, cells - 1);
  vec3 part = at - vec3(low);
  vec3 n = normalize(normal * mattTurn);
  vec4 sum = vec4(0.0);
  for (int axis = 0; axis < 3; axis++) {
    float facing = n[axis] * n[axis];
    if (facing < 0.01) continue;
    int way = first + MATT_ROWS + 2 * axis + (n[axis] > 0.0 ? 1 : 0);
    vec4 lit = vec4(0.0);
    for (int corner = 0; corner < 8; corner++) {
      ivec3 up = ivec3(corner & 1, (corner >> 1) & 1, corner >> 2);
      vec3 near = mix(1.0 - part, part, vec3(up));
      ivec3 cell = low + up * (high - low);
      float share = near.x * near.y * near.z;
      if (share > 0.0) lit += share * texelFetch(mattRows, way + 6 * ((cell.z * cells.y + cell.y) * cells.x + cell.x));
    }
    // Corners where nothing faces that way count for nothing.
    if (lit.w > 0.0) sum += facing * vec4(lit.rgb / lit.w, 1.0);
  }
  return sum.w > 0.0 ? sum.rgb / sum.w : vec3(0.0);
}
