// A strip along one leg of a laser, as wide as its glow is in the picture; or, with SPOTS, a square about its end.
#include "include/view.glsl"
uniform samplerBuffer sourceRows; // by Passes/LaserPass.cs: origin, length; direction, way before; flux as colour, divergence; aperture
flat out vec4 row0;
flat out vec4 row1;
flat out vec4 row2;
flat out vec4 row3;

// Radius at 1/e^2 after some metres of way, m.
float radiusAt(float way) { return 0.5 * (row3.x + row2.w * way); }

// Half-width of the glow in pixels at a distance from the eye.
float reach(float radius, float t) { return 1.5 * radius / (max(t, 0.05) * limits.y) + 2.5; }

void main() {
  int at = 4 * gl_InstanceID;
  row0 = texelFetch(sourceRows, at);
  row1 = texelFetch(sourceRows, at + 1);
  row2 = texelFetch(sourceRows, at + 2);
  row3 = texelFetch(sourceRows, at + 3);
  vec2 side = vec2((gl_VertexID & 1) * 2 - 1, (gl_VertexID >> 1) * 2 - 1);
  vec3 a = row0.xyz, b = row0.xyz + row0.w * row1.xyz;
#ifdef SPOTS
  a = b;
#endif
  vec4 ca = viewProj * vec4(a, 1.0), cb = viewProj * vec4(b, 1.0);
  const float near = 0.05;
  if (ca.w < near && cb.w < near) { gl_Position = vec4(0.0, 0.0, 2.0, 1.0); return; }
  if (ca.w < near) ca = mix(cb, ca, (cb.w - near) / (cb.w - ca.w));
  else if (cb.w < near) cb = mix(ca, cb, (ca.w - near) / (ca.w - cb.w));
  vec2 pa = ca.xy / ca.w * 0.5 * size.xy, pb = cb.xy / cb.w * 0.5 * size.xy;
  vec2 along = pb - pa;
  along = dot(along, along) > 1e-6 ? normalize(along) : vec2(1.0, 0.0);
  vec2 across = vec2(-along.y, along.x);
  float wa = reach(radiusAt(row1.w), ca.w), wb = reach(radiusAt(row1.w + row0.w), cb.w);
  vec2 p = side.x < 0.0 ? pa + wa * (side.y * across - along) : pb + wb * (side.y * across + along);
  gl_Position = vec4(p / (0.5 * size.xy), 0.0, 1.0);
}
