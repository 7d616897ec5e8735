using System.Numerics;
using StageView.Light.Geometry;
using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>A camera that turns about a point; the twin of <c>camera.js</c>.</summary>
internal sealed class OrbitCamera
{
    private Vector3 _target = new(0, 3, 2.5f);
    private double _yaw;
    private double _pitch;
    private double _distance = 17;
    private double _fieldDegrees = 50;

    public float Ev { get; set; } = 7;

    public bool WorkLight { get; set; } = true;

    public OrbitStanding Standing
    {
        get => new(_target, _yaw, _pitch, _distance, _fieldDegrees, Ev, WorkLight);
        set => (_target, _yaw, _pitch, _distance, _fieldDegrees, Ev, WorkLight) = value;
    }

    public void Use(CameraLine c)
    {
        var (p, t) = (new Vector3(c.Position), new Vector3(c.Target));
        var d = t - p;
        _distance = Math.Max(.1, d.Length());
        _pitch = -Math.Asin(Math.Clamp(d.Z / _distance, -1, 1));
        _yaw = Math.Atan2(-d.X, d.Y);
        _target = t;
        _fieldDegrees = c.Fov;
        Ev = c.Ev;
    }

    public void Turn(double dx, double dy)
    {
        _yaw -= dx;
        _pitch = Math.Clamp(_pitch + dy, -1.5, 1.5);
    }

    /// <summary>By shares of the picture's height.</summary>
    public void Slide(double dx, double dy)
    {
        var h = 2 * _distance * Math.Tan(_fieldDegrees * Math.PI / 360);
        var f = Forward();
        var right = new Vector3((float)Math.Cos(_yaw), (float)Math.Sin(_yaw), 0);
        var up = Vector3.Cross(right, f);
        _target = Vector3.Clamp(_target - (right * (float)(dx * h)) + (up * (float)(dy * h)), new Vector3(-900), new Vector3(900));
    }

    public void Nearer(double factor) => _distance = Math.Clamp(_distance / factor, .3, 300);

    public Viewpoint ToView(int width, int height) =>
        new(_target - (Forward() * (float)_distance), _target, (float)_fieldDegrees * Angles.RadiansPerDegree, Ev, width, height, WorkLight);

    private Vector3 Forward()
    {
        var cp = Math.Cos(_pitch);
        return new Vector3((float)(-Math.Sin(_yaw) * cp), (float)(Math.Cos(_yaw) * cp), (float)-Math.Sin(_pitch));
    }
}
