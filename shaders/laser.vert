// A strip along one leg of a laser, as wide as its glow is in the picture; or, with SPOTS, a square about its end.
#include "include/view.glsl"
uniform samplerBuffer sourceRows; // Layout/LaserRows.cs, filled by Passes/LaserPass.cs
#include "layout/laser.glsl"
flat out vec4 laserOriginRow;
flat out vec4 laserDirectionRow;
flat out vec4 laserFluxRow;
flat out vec4 laserApertureRow;

// Radius at 1/e^2 after some metres of way, m.
float radiusAt(float way) { return 0.5 * (laserAperture + laserDivergence * way); }

// Half-width of the glow in pixels at a distance from the eye.
float reach(float radius, float t) { return 1.5 * radius / (max(t, 0.05) * pixelAngle) + 2.5; }

void main() {
  int at = LASER_ROWS * gl_InstanceID;
  laserOriginRow = texelFetch(sourceRows, at + LASER_ORIGIN_ROW);
  laserDirectionRow = texelFetch(sourceRows, at + LASER_DIRECTION_ROW);
  laserFluxRow = texelFetch(sourceRows, at + LASER_FLUX_ROW);
  laserApertureRow = texelFetch(sourceRows, at + LASER_APERTURE_ROW);
  vec2 side = vec2((gl_VertexID & 1) * 2 - 1, (gl_VertexID >> 1) * 2 - 1);
  vec3 a = laserOrigin, b = laserOrigin + laserLength * laserDirection;
#ifdef SPOTS
  a = b;
#endif
  vec4 ca = viewProjection * vec4(a, 1.0), cb = viewProjection * vec4(b, 1.0);
  const float near = 0.05;
  if (ca.w < near && cb.w < near) { gl_Position = vec4(0.0, 0.0, 2.0, 1.0); return; }
  if (ca.w < near) ca = mix(cb, ca, (cb.w - near) / (cb.w - ca.w));
  else if (cb.w < near) cb = mix(ca, cb, (ca.w - near) / (ca.w - cb.w));
  vec2 pa = ca.xy / ca.w * 0.5 * size, pb = cb.xy / cb.w * 0.5 * size;
  vec2 along = pb - pa;
  along = dot(along, along) > 1e-6 ? normalize(along) : vec2(1.0, 0.0);
  vec2 across = vec2(-along.y, along.x);
  float wa = reach(radiusAt(laserWayBefore), ca.w), wb = reach(radiusAt(laserWayBefore + laserLength), cb.w);
  vec2 p = side.x < 0.0 ? pa + wa * (side.y * across - along) : pb + wb * (side.y * across + along);
  gl_Position = vec4(p / (0.5 * size), 0.0, 1.0);
}
