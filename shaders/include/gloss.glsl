// What surfaces that shine throw on. Twin: Gloss, GlossShares.
uniform sampler2D glossShares; // Passes/GlossTable.cs: A, B of the share thrown on by cosine and root of roughness; their means over all sides

float fresnelOf(float shine, float cosine) {
  float left = 1.0 - clamp(cosine, 0.0, 1.0), square = left * left;
  return shine + (1.0 - shine) * square * square * left;
}

// The BRDF, 1/sr.
float gloss(vec3 n, vec3 light, vec3 eye_, float shine, float roughness) {
  float l = dot(n, light), v = dot(n, eye_);
  if (l <= 0.0 || v <= 0.0) return 0.0;
  vec3 middle = normalize(light + eye_), across = cross(n, middle);
  float square = roughness * roughness, off = dot(across, across), d = off + (1.0 - off) * square;
  float visible = 0.5 / (l * sqrt(v * v * (1.0 - square) + square) + v * sqrt(l * l * (1.0 - square) + square));
  return square / (PI * d * d) * visible * fresnelOf(shine, dot(middle, eye_));
}

// Radiance of a surface under so much light from one direction: matt and shining. surface: albedo that is left for light from all sides, shine.
vec3 thrown(vec3 light, vec3 toLight, vec3 n, vec3 toEye, vec4 surface, float roughness) {
  if (surface.a <= 0.0) return light * surface.rgb / PI;
  vec2 side = vec2(textureSize(glossShares, 0));
  vec4 shares = textureLod(glossShares, (vec2(clamp(dot(n, toLight), 0.0, 1.0), sqrt(roughness)) * (side - 1.0) + 0.5) / side, 0.0);
  float matt = (1.0 - surface.a * shares.x - shares.y) / (1.0 - surface.a * shares.z - shares.w);
  return light * (surface.rgb * (matt / PI) + gloss(n, toLight, toEye, surface.a, roughness));
}
