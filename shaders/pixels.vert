// One surface of pixels an instance: a flat parallelogram, or a square that covers a globe.
#include "include/view.glsl"
uniform samplerBuffer sourceRows; // Layout/SurfaceRows.cs, filled by Surfaces/PixelTable.cs
#include "layout/surface.glsl"
out vec3 place;
out vec2 cell;                    // position in the grid, columns and rows
flat out vec4 surfaceOriginRow;
flat out vec4 surfaceEdgeURow;
flat out vec4 surfaceEdgeVRow;
flat out vec4 surfaceFirstPixelRow;

void main() {
  int at = SURFACE_ROWS * gl_InstanceID;
  surfaceOriginRow = texelFetch(sourceRows, at + SURFACE_ORIGIN_ROW);
  surfaceEdgeURow = texelFetch(sourceRows, at + SURFACE_EDGE_U_ROW);
  surfaceEdgeVRow = texelFetch(sourceRows, at + SURFACE_EDGE_V_ROW);
  surfaceFirstPixelRow = texelFetch(sourceRows, at + SURFACE_FIRST_PIXEL_ROW);
  vec2 uv = vec2(gl_VertexID & 1, gl_VertexID >> 1);
  cell = uv * vec2(surfaceColumns, surfaceRows);
  if (surfaceRadius > 0.0) {
    // The square through the globe's near side, as wide as the globe looks.
    vec3 to = surfaceOrigin - eye.xyz;
    float d = length(to), r = surfaceRadius;
    vec3 z = to / d;
    vec3 x = normalize(cross(abs(z.z) < 0.9 ? vec3(0.0, 0.0, 1.0) : vec3(1.0, 0.0, 0.0), z));
    vec3 y = cross(z, x);
    float wide = d > r * 1.01 ? r * sqrt((d - r) / (d + r)) : r;
    place = surfaceOrigin - r * z + wide * ((2.0 * uv.x - 1.0) * x + (2.0 * uv.y - 1.0) * y);
  } else {
    place = surfaceOrigin + uv.x * surfaceEdgeU + uv.y * surfaceEdgeV;
  }
  gl_Position = viewProjection * vec4(place, 1.0);
  gl_ClipDistance[0] = dot(face, vec4(place, 1.0));
}
