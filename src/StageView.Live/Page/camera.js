// A camera that turns about a point. Metres, Z up, angles in radians.

const clamp = (v, lo, hi) => Math.min(hi, Math.max(lo, v));

export class Camera {
  target = [0, 3, 2.5];
  yaw = 0;      // 0 looks upstage (+Y)
  pitch = 0;    // above 0 looks down
  distance = 17;
  fov = 50;     // degrees, vertical
  ev = 7;
  work = true;

  static from(position, target, fov, ev) {
    const c = new Camera();
    const d = target.map((t, i) => t - position[i]);
    c.distance = Math.max(.1, Math.hypot(...d));
    c.pitch = -Math.asin(clamp(d[2] / c.distance, -1, 1));
    c.yaw = Math.atan2(-d[0], d[1]);
    c.target = [...target];
    c.fov = fov;
    c.ev = ev;
    return c;
  }

  get forward() {
    const cp = Math.cos(this.pitch);
    return [-Math.sin(this.yaw) * cp, Math.cos(this.yaw) * cp, -Math.sin(this.pitch)];
  }

  get right() { return [Math.cos(this.yaw), Math.sin(this.yaw), 0]; }

  get up() {
    const [f, r] = [this.forward, this.right];
    return [r[1] * f[2] - r[2] * f[1], r[2] * f[0] - r[0] * f[2], r[0] * f[1] - r[1] * f[0]];
  }

  get position() { const f = this.forward; return this.target.map((t, i) => t - f[i] * this.distance); }

  turn(dx, dy) {
    this.yaw -= dx;
    this.pitch = clamp(this.pitch + dy, -1.5, 1.5);
  }

  /** dx, dy: shares of the picture's height. */
  slide(dx, dy) {
    const h = 2 * this.distance * Math.tan(this.fov * Math.PI / 360);
    const [r, u] = [this.right, this.up];
    this.target = this.target.map((t, i) => clamp(t - r[i] * dx * h + u[i] * dy * h, -900, 900));
  }

  nearer(factor) { this.distance = clamp(this.distance / factor, .3, 300); }

  /** The point of the picture, 0 to 1 both ways, or null behind the camera. */
  project(point, aspect) {
    const p = this.position;
    const d = point.map((v, i) => v - p[i]);
    const dot = a => a[0] * d[0] + a[1] * d[1] + a[2] * d[2];
    const depth = dot(this.forward);
    if (depth < .05) return null;
    const t = Math.tan(this.fov * Math.PI / 360);
    return [.5 + dot(this.right) / (2 * depth * t * aspect), .5 - dot(this.up) / (2 * depth * t)];
  }

  /** Both ends of a straight line as points of the picture, cut where it passes behind the camera; null where all of it does. */
  segment(a, b, aspect) {
    const near = .1, f = this.forward, p = this.position;
    const depth = q => q.reduce((s, v, i) => s + f[i] * (v - p[i]), 0);
    const [da, db] = [depth(a), depth(b)];
    if (da < near && db < near) return null;
    const cut = (q, d, r, e) => d >= near ? q : q.map((v, i) => v + (r[i] - v) * (near - d) / (e - d));
    return [this.project(cut(a, da, b, db), aspect), this.project(cut(b, db, a, da), aspect)];
  }

  asView(width, height) {
    return { do: "view", from: this.position, to: this.target, fov: this.fov, ev: this.ev, work: this.work, size: [width, height] };
  }
}
