using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

public sealed class ToneCurveTests
{
    // Linear Rec.709, largest channel 1: saturated lights, invented; a trace of the other channels, as any real light has.
    private static readonly (string Name, Vector3 Colour)[] Lights =
    [
        ("amber", new(1, 0.3f, 0)),
        ("blue", new(0.02f, 0.08f, 1)),
        ("purple", new(0.4f, 0.02f, 1)),
        ("red", new(1, 0.03f, 0.01f)),
        ("green", new(0.06f, 1, 0.02f)),
        ("cyan", new(0.02f, 0.7f, 1)),
    ];

    private static readonly (string Name, Func<Vector3, Vector3> Curve)[] Curves =
    [
        ("ours", ToneCurve.Shape),
        ("per-channel ACES fit", CommonCurves.AcesFit),
        ("per-channel Reinhard", CommonCurves.Reinhard),
        ("maximum channel, whitening in linear light", CommonCurves.MaximumChannel),
    ];

    [Fact]
    public void Saturated_lights_keep_their_hue_at_any_exposure()
    {
        foreach (var (name, colour) in Lights)
        {
            for (var ev = -4f; ev <= 6; ev += 0.25f)
            {
                var x = colour * MathF.Pow(2, ev);
                Assert.True(MathF.Abs(Shift(x, ToneCurve.Shape(x))) < 1, $"{name} at {ev:+0.##} EV turns by {Shift(x, ToneCurve.Shape(x)):0.0} degrees");
            }
        }
    }

    [Fact]
    public void The_hue_table_of_the_decision_is_what_the_curves_do()
    {
        var table = HueTable();
        File.WriteAllText(Path.Combine(Repo.Out("tone"), "hue-table.md"), table);
        PngPicture.Write(Path.Combine(Repo.Out("tone"), "sweeps.png"), Sweeps());
        Assert.Contains(table, File.ReadAllText(Repo.File("docs", "design", "tone.md")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_light_turns_white_late_and_its_lightness_never_falls()
    {
        foreach (var (name, colour) in Lights)
        {
            var before = -1f;
            for (var ev = -8f; ev <= 14; ev += 0.125f)
            {
                var lab = Oklab.FromLinear(ToneCurve.Shape(colour * MathF.Pow(2, ev)));
                Assert.True(lab.X >= before - 1e-4f, $"{name} darkens at {ev} EV");
                before = lab.X;
            }

            for (var ev = 0; ev <= 6; ev++)
            {
                // A second judge, since the curve is built on the first one.
                Assert.InRange(OtherHueSpace.Shift(colour, ToneCurve.Shape(colour * (1 << ev))), -6, 6);
            }

            var chroma = Chroma(ToneCurve.Shape(colour));
            Assert.True(Chroma(ToneCurve.Shape(colour * 8)) > 0.5f * chroma, $"{name} has lost more than half of its chroma at +3 EV");
            Assert.True(Chroma(ToneCurve.Shape(colour * 16384)) < 0.05f * chroma, $"{name} is not white at +14 EV");
        }
    }

    [Fact]
    public void Below_the_knee_the_picture_is_linear()
    {
        var tone = new ToneCurve(7);
        var grey = new Vector3(0.29f * tone.SaturationLuminance);
        Assert.Equal(0.29f, tone.Apply(grey).Y, 1e-6f);
        Assert.Equal(153.6f, tone.SaturationLuminance, 1e-3f); // 1.2 x 2^7
        var (a, b) = (ToneCurve.Shape(new Vector3(0.2f, 0.1f, ToneCurve.Knee)), ToneCurve.Shape(new Vector3(0.2f, 0.1f, ToneCurve.Knee + 1e-5f)));
        Assert.True(Vector3.Distance(a, b) < 1e-4f);
    }

    [Fact]
    public void Light_outside_the_gamut_keeps_hue_and_lightness_and_fits()
    {
        // Chromaticities of narrow emitters: green and blue lie well outside Rec.709.
        foreach (var (x, y) in new[] { (0.170, 0.720), (0.140, 0.045), (0.690, 0.308), (0.08, 0.40) })
        {
            var m = WhitePoint.XyzFromRgb.Inverse();
            var xyz = m.Times((x / y, 1, (1 - x - y) / y));
            var colour = new Vector3((float)xyz.X, (float)xyz.Y, (float)xyz.Z);
            colour *= 0.25f / MathF.Max(colour.X, MathF.Max(colour.Y, colour.Z));
            var shown = ToneCurve.Shape(colour);
            Assert.True(MathF.Min(colour.X, MathF.Min(colour.Y, colour.Z)) < 0, "the test colour lies inside the gamut");
            Assert.True(MathF.Min(shown.X, MathF.Min(shown.Y, shown.Z)) >= 0);
            Assert.InRange(Shift(colour, shown), -1, 1);
            Assert.Equal(Oklab.FromLinear(colour).X, Oklab.FromLinear(shown).X, 0.01f);
            Assert.InRange(MathF.Min(shown.X, MathF.Min(shown.Y, shown.Z)), 0, 0.003f);
        }
    }

    [Theory]
    [InlineData(float.NaN, 0, 0)]
    [InlineData(float.PositiveInfinity, 0, 1)]
    [InlineData(float.NegativeInfinity, 1, 1)]
    [InlineData(1e30f, 1e30f, 1e30f)]
    [InlineData(-1, -1, -1)]
    public void No_light_breaks_it(float r, float g, float b)
    {
        var c = ToneCurve.Shape(new Vector3(r, g, b));
        Assert.Equal(c, Vector3.Clamp(c, Vector3.Zero, Vector3.One));
    }

    [Fact]
    public void The_shader_holds_the_same_constants()
    {
        var glsl = File.ReadAllText(Repo.File("shaders", "include", "tone.glsl"));
        Assert.Contains($"TONE_KNEE = {ToneCurve.Knee:0.0##};", glsl, StringComparison.Ordinal);
        Assert.Contains($"TONE_WHITENING = {ToneCurve.Whitening:0.0##};", glsl, StringComparison.Ordinal);
        Assert.Contains($"TONE_GAMUT_STEPS = {Oklab.GamutSteps};", glsl, StringComparison.Ordinal);
    }

    [Fact]
    public void Oklab_gives_its_author_s_worked_values()
    {
        // B. Ottosson 2020, table of XYZ and Lab pairs: white to (1, 0, 0); XYZ (1,0,0), (0,1,0), (0,0,1) to the values below.
        AssertLab(new(0.950f, 1, 1.089f), new(1, 0, 0));
        AssertLab(new(1, 0, 0), new(0.450f, 1.236f, -0.019f));
        AssertLab(new(0, 1, 0), new(0.922f, -0.671f, 0.263f));
        AssertLab(new(0, 0, 1), new(0.153f, -1.415f, -0.449f));
        var c = new Vector3(0.2f, 0.5f, 0.9f);
        Assert.True(Vector3.Distance(c, Oklab.ToLinear(Oklab.FromLinear(c))) < 1e-5f);
    }

    [Theory]
    [InlineData(0.18f, 0.461356f)]
    [InlineData(0.5f, 0.735357f)]
    [InlineData(0.0031308f, 0.04045f)]
    public void Srgb_by_its_standard(float linear, float encoded)
    {
        Assert.Equal(encoded, Srgb.Encode(linear), 2e-6f); // IEC 61966-2-1's formula worked out
        Assert.Equal(linear, Srgb.Decode(encoded), 2e-6f);
    }

    private static void AssertLab(Vector3 xyz, Vector3 lab)
    {
        var rgb = WhitePoint.XyzFromRgb.Inverse().Times((xyz.X, xyz.Y, xyz.Z));
        var found = Oklab.FromLinear(new((float)rgb.X, (float)rgb.Y, (float)rgb.Z));
        Assert.True(Vector3.Distance(lab, found) < 0.003f, $"{xyz} gave {found}, not {lab}");
    }

    private static float Chroma(Vector3 linear)
    {
        var lab = Oklab.FromLinear(linear);
        return MathF.Sqrt((lab.Y * lab.Y) + (lab.Z * lab.Z));
    }

    private static float Shift(Vector3 from, Vector3 to)
    {
        var d = Oklab.HueDegrees(to) - Oklab.HueDegrees(from);
        return d > 180 ? d - 360 : d < -180 ? d + 360 : d;
    }

    /// <summary>A column a curve, a row a light, -4 to +8 EV from left to right: to be looked at.</summary>
    private static PixelImage Sweeps()
    {
        const int wide = 300, high = 60;
        var image = new PixelImage(wide * Curves.Length, high * Lights.Length);
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var light = Lights[y / high].Colour * MathF.Pow(2, (12f * (x % wide) / wide) - 4);
                var c = x % wide < 4 || y % high < 4 ? Vector3.Zero : Curves[x / wide].Curve(light);
                var i = ((y * image.Width) + x) * 4;
                (image.Rgba[i], image.Rgba[i + 1], image.Rgba[i + 2], image.Rgba[i + 3]) = (Srgb.Encode8(c.X), Srgb.Encode8(c.Y), Srgb.Encode8(c.Z), 255);
            }
        }

        return image;
    }

    private static string HueTable()
    {
        var table = new StringBuilder(
            "| curve | light | +0 EV | +1 | +2 | +3 | +4 | +5 | +6 | chroma left at +3 | most in IPT |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- "
            + "| --- | --- |\n");
        foreach (var (name, curve) in Curves)
        {
            foreach (var (light, colour) in Lights)
            {
                table.Append(CultureInfo.InvariantCulture, $"| {name} | {light} |");
                for (var ev = 0; ev <= 6; ev++)
                {
                    var x = colour * (1 << ev);
                    var shown = curve(x);
                    var said = Chroma(shown) < 0.01f ? "white" : MathF.Round(Shift(x, shown)).ToString("+0;-0;0", CultureInfo.InvariantCulture);
                    table.Append(CultureInfo.InvariantCulture, $" {said} |");
                }

                var most = Enumerable.Range(0, 7).Select(ev => OtherHueSpace.Shift(colour, curve(colour * (1 << ev)))).Where(float.IsFinite).MaxBy(MathF.Abs);
                table.Append(CultureInfo.InvariantCulture, $" {100 * Chroma(curve(colour * 8)) / Chroma(colour):0} % | {MathF.Round(most):+0;-0;0} |\n");
            }
        }

        return table.ToString();
    }
}
