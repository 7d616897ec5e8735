using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Audit;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Light.Tests.Measure;

namespace StageView.Light.Tests.Interreflection;

/// <summary>
/// Indirect light in a furnished room with eight front lights, beside POV-Ray 3.7's radiosity: its picture with radiosity less its picture without is what matt
/// surfaces throw, point by point.
/// </summary>
public sealed class FurnishedRoomTests
{
    private const int Width = 96;
    private const int Height = 72;

    /// <summary>Picture value 1, lx times reflectance.</summary>
    private const float Scale = 4000;

    private static readonly Vector3 Figure = new(.5f, 1, 0);

    /// <summary>Name, lowest and highest corner, reflectance. The room first; it is seen from inside.</summary>
    private static readonly (string Name, Vector3 Low, Vector3 High, Vector3 Albedo)[] Pieces =
    [
        ("room", new(-6, -5, 0), new(6, 4, 5), new(.5f)),
        ("platform", new(-3, 1.8f, 0), new(3, 3.8f, .4f), new(.3f)),
        ("bar", new(-5.6f, -3, 0), new(-4.6f, 0, 1.1f), new(.6f, .4f, .2f)),
        ("column", new(3, -1, 0), new(3.5f, -.5f, 5), new(.7f)),
        ("body", Figure + new Vector3(-.25f, -.15f, 0), Figure + new Vector3(.25f, .15f, 1.45f), new(.2f)),
        ("head", Figure + new Vector3(-.12f, -.12f, 1.5f), Figure + new Vector3(.12f, .12f, 1.78f), new(.4f)),
    ];

    private static readonly Beam[] Lights = [.. Enumerable.Range(0, 8).Select(i =>
        Even(new Vector3(-4.2f + (1.2f * i), -4, 4.4f), Figure + new Vector3((i - 3.5f) * .5f, 0, 1.2f), 22, 6000))];

    [Fact]
    public void Indirect_light_on_floor_walls_and_a_figure_s_face_and_back_is_the_ray_tracer_s()
    {
        var moment = Scene();
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene, MeterSettings.ClearAir, new MattSolver().Solve(moment));
        // From the house, and from behind the figure; close to it, too.
        var ratios = new Dictionary<string, List<double>>();
        foreach (var (eye, target, field) in (ReadOnlySpan<(Vector3, Vector3, float)>)
            [(new(-2, -4.8f, 2.6f), new(.3f, 1, 1), .8f), (new(2, 3.9f, 2.2f), new(0, -2, .8f), .9f),
                (new(.5f, -1, 1.6f), new(.5f, 1, 1.6f), .12f), (new(.5f, 3.9f, 1.4f), new(.5f, 1, 1.2f), .15f)])
        {
            var (with, without) = (PovRay(eye, target, field, true), PovRay(eye, target, field, false));
            for (var y = 2; y < Height; y += 4)
            {
                for (var x = 2; x < Width; x += 4)
                {
                    var ray = Ray(eye, target, field, x, y);
                    if (!scene.Closest(eye, ray, 50, FixtureIndex.None, out var hit) || Of(hit) is not { } place)
                    {
                        continue;
                    }

                    var theirs = (with[(y * Width) + x] - without[(y * Width) + x]) * Scale / Pieces[hit.Instance.Value].Albedo;
                    ratios.TryAdd(place, []);
                    ratios[place].Add(meter.At(hit.Point, hit.Normal).Indirect / BeamPhotometry.Luminance(theirs));
                }
            }
        }

        var said = string.Join(", ", ratios.Select(r => string.Create(CultureInfo.InvariantCulture, $"{r.Key} {Median(r.Value):0.000} of {r.Value.Count}")));
        Assert.Equal(["back", "face", "floor", "walls"], ratios.Keys.Order());
        Assert.All(ratios.Values, r => Assert.True(r.Count >= 20 && Math.Abs(Median(r) - 1) < .05, said));
    }

    [Fact]
    public void The_closed_room_keeps_all_its_light()
    {
        var moment = Scene();
        var balance = MattBalance.Of(moment, EnergyAudit.Of(moment, OcclusionScene.From(moment)), new MattSolver().Solve(moment));

        Rooms.Near(Lights.Sum(l => l.FluxLumens), balance.Absorbed, .005);
        Assert.InRange(balance.Error, -.005, .005);
    }

    private static double Median(List<double> of) => of.Order().ElementAt(of.Count / 2);

    private static string? Of(in SceneHit hit) => Pieces[hit.Instance.Value].Name switch
    {
        "room" => hit.Normal.Z > .9f ? "floor" : MathF.Abs(hit.Normal.Z) < .1f ? "walls" : null,
        "head" when hit.Normal.Y < -.9f => "face",
        "body" when hit.Normal.Y > .9f => "back",
        _ => null,
    };

    private static Moment Scene()
    {
        var b = Rooms.Builder();
        b.Meshes = [Rooms.Box("room", -1), Rooms.Box("box", 1)];
        foreach (var (name, low, high, albedo) in Pieces)
        {
            b.Add(Rooms.Plate((low + high) / 2, 1) with
            {
                Mesh = new MeshIndex(name == "room" ? 0 : 1),
                Scale = high - low,
                Albedo = albedo,
                Kind = name is "head" or "body" ? SceneryKind.Person : SceneryKind.Scenery,
            });
        }

        foreach (var light in Lights)
        {
            b.Add(light);
        }

        return b.Build(TimeSpan.Zero);
    }

    /// <summary>A cone as even as our family of profiles gets.</summary>
    private static Beam Even(Vector3 from, Vector3 to, float degrees, float candela)
    {
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(degrees), Angles.Radians(degrees * 1.02f));
        return Rooms.Spot(from, to, candela / profile.CandelaPerLumen) with { Profile = profile };
    }

    private static (Vector3 Forward, Vector3 Right, Vector3 Up) Axes(Vector3 eye, Vector3 target, float field)
    {
        var forward = Vector3.Normalize(target - eye);
        var right = Vector3.Normalize(Vector3.Cross(forward, Vector3.UnitZ));
        return (forward, right * (2 * field * Width / Height), Vector3.Cross(right, forward) * (2 * field));
    }

    private static Vector3 Ray(Vector3 eye, Vector3 target, float field, int x, int y)
    {
        var (forward, right, up) = Axes(eye, target, field);
        return Vector3.Normalize(forward + (right * (((x + .5f) / Width) - .5f)) + (up * (((y + .5f) / Height) - .5f)));
    }

    private static Vector3[] PovRay(Vector3 eye, Vector3 target, float field, bool radiosity)
    {
        var (forward, right, up) = Axes(eye, target, field);
        var text = new StringBuilder("#version 3.7;\n");
        text.Append(CultureInfo.InvariantCulture, $"global_settings {{ assumed_gamma 1 max_trace_level 20 adc_bailout .00001\n");
        text.Append(radiosity
            ? "radiosity { pretrace_start .08 pretrace_end .02 count 500 nearest_count 8 error_bound .35 recursion_limit 8 low_error_factor .6 minimum_reuse .01 "
                + "gray_threshold 0 brightness 1 }\n" : "").Append("}\n");
        text.Append(CultureInfo.InvariantCulture, $"camera {{ perspective location {Of(eye)} direction {Of(forward)} right {Of(right)} up {Of(up)} }}\n");
        foreach (var (name, low, high, albedo) in Pieces)
        {
            text.Append(CultureInfo.InvariantCulture, $"box {{ {Of(low)}, {Of(high)} pigment {{ rgb {Of(albedo)} }} finish {{ ambient 0 diffuse 1 }} }}\n");
        }

        foreach (var light in Lights)
        {
            // An even cone of the same flux and the same intensity.
            const float fade = .001f;
            var half = Angles.Degrees(MathF.Acos(1 - (1 / (MathF.Tau * light.Profile.CandelaPerLumen))));
            var candela = light.FluxLumens * light.Profile.CandelaPerLumen / Scale / (2 * fade * fade);
            text.Append(CultureInfo.InvariantCulture, $"light_source {{ {Of(light.Apex)} rgb {candela} fade_distance {fade} fade_power 2\n");
            text.Append(CultureInfo.InvariantCulture, $"spotlight point_at {Of(light.Apex + light.Axis)} radius {half} falloff {half} tightness 0 }}\n");
        }

        using var folder = new TempFolder();
        File.WriteAllText(folder["room.pov"], text.ToString());
        return PovPicture.Render(folder["room.pov"], Width, Height);
    }

    private static string Of(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"<{v.X}, {v.Y}, {v.Z}>");
}
