// From cd/m2 to the screen. CPU twin: src/StageView.Render/Output/ToneCurve.cs (the reasons stand there); same constants.
// Input x of toneCurve: colour in saturation luminances, that is ToneCurve.Rows * (linear Rec.709, cd/m2).
// Output: linear Rec.709 of the screen, 0 to 1; srgbEncode last.

const float TONE_KNEE = 0.3;
const float TONE_WHITENING = 24.0;
const float TONE_LARGEST = 1e6;
const int TONE_GAMUT_STEPS = 10;

float toneCubeRoot(float v) { return sign(v) * pow(abs(v), 1.0 / 3.0); }

// Oklab, B. Ottosson 2020.
vec3 oklabFromLinear(vec3 c) {
  float l = toneCubeRoot(dot(vec3(0.4122214708, 0.5363325363, 0.0514459929), c));
  float m = toneCubeRoot(dot(vec3(0.2119034982, 0.6806995451, 0.1073969566), c));
  float s = toneCubeRoot(dot(vec3(0.0883024619, 0.2817188376, 0.6299787005), c));
  return vec3(
    0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
    1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
    0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s);
}

vec3 linearFromOklab(vec3 lab) {
  float l = lab.x + 0.3963377774 * lab.y + 0.2158037573 * lab.z;
  float m = lab.x - 0.1055613458 * lab.y - 0.0638541728 * lab.z;
  float s = lab.x - 0.0894841775 * lab.y - 1.2914855480 * lab.z;
  l = l * l * l; m = m * m * m; s = s * s * s;
  return vec3(
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s);
}

bool toneInside(vec3 c) {
  return min(c.r, min(c.g, c.b)) >= -2e-4 && max(c.r, max(c.g, c.b)) <= 1.0002;
}

vec3 toneCurve(vec3 x) {
  x = clamp(x, -TONE_LARGEST, TONE_LARGEST);
  float m = max(x.r, max(x.g, x.b));
  if (!(m > 0.0)) return vec3(0.0);
  if (m <= TONE_KNEE && min(x.r, min(x.g, x.b)) >= 0.0) return x;
  float u = max(m - TONE_KNEE, 0.0);
  float peak = u > 0.0 ? TONE_KNEE + (1.0 - TONE_KNEE) * u / (u + 1.0 - TONE_KNEE) : m;
  vec3 lab = oklabFromLinear(x * (peak / m));
  lab = mix(lab, vec3(toneCubeRoot(peak), 0.0, 0.0), u / (u + TONE_WHITENING));
  lab.x = clamp(lab.x, 0.0, 1.0);
  vec3 c = linearFromOklab(lab);
  if (!toneInside(c)) {
    float keep = 0.0, lose = 1.0;
    for (int i = 0; i < TONE_GAMUT_STEPS; i++) {
      float t = 0.5 * (keep + lose);
      if (toneInside(linearFromOklab(vec3(lab.x, lab.yz * t)))) keep = t; else lose = t;
    }
    c = linearFromOklab(vec3(lab.x, lab.yz * keep));
  }
  return clamp(c, 0.0, 1.0);
}

// IEC 61966-2-1.
vec3 srgbEncode(vec3 c) {
  c = clamp(c, 0.0, 1.0);
  return mix(1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, 12.92 * c, lessThanEqual(c, vec3(0.0031308)));
}
