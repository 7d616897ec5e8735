// What stands in beams, seen from their (image) apices: an instance a thing in a beam, each in its beam's tile of the atlas.
layout(location = 0) in vec3 position;
uniform samplerBuffer sourceRows; // Layout/CasterRows.cs, filled by Shadows/ShadowDraws.cs
#include "layout/caster.glsl"
uniform int first;                // instance of these rows

void main() {
  int at = CASTER_ROWS * (first + gl_InstanceID);
  vec4 p = vec4(position, 1.0);
  vec4 c = casterToTileOf(at) * p;
  vec4 tile = casterPlaceOf(at);
  gl_Position = vec4(c.xy * tile.xy + c.w * tile.zw, c.zw);
  gl_ClipDistance[0] = dot(casterFrontOf(at), p);
  gl_ClipDistance[1] = dot(casterBackOf(at), p);
  // The tile's own sides.
  gl_ClipDistance[2] = c.w + c.x;
  gl_ClipDistance[3] = c.w - c.x;
  gl_ClipDistance[4] = c.w + c.y;
  gl_ClipDistance[5] = c.w - c.y;
}
