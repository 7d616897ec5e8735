// One surface of pixels an instance: a flat parallelogram, or a square that covers a globe.
#include "include/view.glsl"
uniform samplerBuffer sourceRows; // by Surfaces/PixelTable.cs: origin, shape; edge u, columns; edge v, rows; first, fill, levels
out vec3 place;
out vec2 cell;                    // position in the grid, columns and rows
flat out vec4 row0;
flat out vec4 row1;
flat out vec4 row2;
flat out vec4 row3;

void main() {
  int at = 4 * gl_InstanceID;
  row0 = texelFetch(sourceRows, at);
  row1 = texelFetch(sourceRows, at + 1);
  row2 = texelFetch(sourceRows, at + 2);
  row3 = texelFetch(sourceRows, at + 3);
  vec2 uv = vec2(gl_VertexID & 1, gl_VertexID >> 1);
  cell = uv * vec2(row1.w, row2.w);
  if (row0.w > 0.0) {
    // The square through the globe's near side, as wide as the globe looks.
    vec3 to = row0.xyz - eye.xyz;
    float d = length(to), r = row0.w;
    vec3 z = to / d;
    vec3 x = normalize(cross(abs(z.z) < 0.9 ? vec3(0.0, 0.0, 1.0) : vec3(1.0, 0.0, 0.0), z));
    vec3 y = cross(z, x);
    float wide = d > r * 1.01 ? r * sqrt((d - r) / (d + r)) : r;
    place = row0.xyz - r * z + wide * ((2.0 * uv.x - 1.0) * x + (2.0 * uv.y - 1.0) * y);
  } else {
    place = row0.xyz + uv.x * row1.xyz + uv.y * row2.xyz;
  }
  gl_Position = viewProj * vec4(place, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(place, 1.0));
}
