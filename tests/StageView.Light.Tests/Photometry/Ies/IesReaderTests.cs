using System.Globalization;
using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Light.Photometry.Ies;

namespace StageView.Light.Tests.Photometry.Ies;

public sealed class IesReaderTests
{
    private static PhotometricFile Read(string text)
    {
        Assert.True(IesReader.TryParse(Encoding.Latin1.GetBytes(text), "test", out var file, out var why), why.ToString());
        return file!;
    }

    private static string Refused(string text)
    {
        Assert.False(IesReader.TryParse(Encoding.Latin1.GetBytes(text), "test", out var file, out var why));
        Assert.Null(file);
        return why.ToString();
    }

    private static string File(string horizontal, Func<double, double, double> candela, string version = "IESNA:LM-63-2002", string type = "1",
        string vertical = "0 10 20 30 40 50 60 70 80 90", string numbers = "1 -1 1", string ballast = "1 1 100")
    {
        var (v, h) = (Split(vertical), Split(horizontal));
        var rows = h.Select(a => string.Join(' ', v.Select(b => candela(b, a).ToString(CultureInfo.InvariantCulture))));
        return
            $"{version}\n[TEST] 1\n[LUMINAIRE] a lamp\nTILT=NONE\n{numbers} {v.Length} {h.Length} {type} 2 0 0 "
            + $"0\n{ballast}\n{vertical}\n{horizontal}\n{string.Join('\n', rows)}\n";
    }

    private static double[] Split(string s) => [.. s.Split(' ').Select(x => double.Parse(x, CultureInfo.InvariantCulture))];

    private const string Fine =
        "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24 25 26 27 28 29 30 31 32 33 34 35 36 37 38 39 40 41 42 43 44 45 46 47 48 49 50 51 52 "
        + "53 54 55 56 57 58 59 60 61 62 63 64 65 66 67 68 69 70 71 72 73 74 75 76 77 78 79 80 81 82 83 84 85 86 87 88 89 90";

    // A Lambertian source of I0 gives π·I0 lumens; cos³ gives 2π·I0/4 (∫ cosⁿ sin dθ = 1/(n+1); IES Lighting Handbook, luminous flux of diffuse emitters).
    [Theory]
    [InlineData(1, Math.PI)]
    [InlineData(3, Math.PI / 2)]
    public void Lumens_of_cosine_powers(int power, double perCandela)
    {
        var web = Read(File("0", (v, _) => 1000 * Math.Pow(Math.Cos(v * Math.PI / 180), power), vertical: Fine)).Web;
        Rooms.Near(1000 * perCandela, web.Lumens, 2e-4);
        Rooms.Near(1000 * perCandela, WebIntegration.ByZonalConstants(web, 10), 0.01);
        Assert.Equal(1000, web.PeakCandela);
    }

    // Zonal constants 2π(cos a - cos b): IES Lighting Handbook's table for 10° zones gives .095, .283 and 1.091 (three decimals).
    [Theory]
    [InlineData(0, 10, 0.0955)]
    [InlineData(10, 20, 0.2835)]
    [InlineData(80, 90, 1.0911)]
    public void Zonal_constants(double from, double to, double sr) => Assert.Equal(sr, WebIntegration.ZonalConstant(from, to), 6e-5);

    [Fact]
    public void Zones_add_up_and_each_holds_its_solid_angle_of_an_even_source()
    {
        var web = Read(File("0", (_, _) => 100, vertical: "0 45 90 135 180")).Web;
        var zones = WebIntegration.Zones(web, 18);
        Rooms.Near(400 * Math.PI, zones.Sum(), 1e-6);
        Rooms.Near(100 * 0.0955, zones[0], 1e-3);
        Rooms.Near(100 * 1.0911, zones[8], 1e-3);
    }

    // LM-63-2002, clause 5.12: last horizontal angle 0, 90, 180, 360.
    [Fact]
    public void Symmetries_fill_the_whole_turn()
    {
        var web = Read(File("0 45 90", (v, h) => v == 0 ? 0 : 100 + h)).Web;
        foreach (var (azimuth, expected) in new[] { (0, 100), (45, 145), (90, 190), (135, 145), (180, 100), (225, 145), (270, 190), (315, 145), (20, 120),
            (340, 120), (200, 120) })
        {
            Assert.Equal(expected, web.PeakCandela * web.At(0.5, azimuth * Math.PI / 180), 0.01);
        }

        web = Read(File("0 90 180", (_, h) => 100 + h)).Web;
        foreach (var (azimuth, expected) in new[] { (0, 100), (90, 190), (180, 280), (270, 190), (225, 235) })
        {
            Assert.Equal(expected, web.PeakCandela * web.At(0.5, azimuth * Math.PI / 180), 0.01);
        }

        web = Read(File("90 180 270", (_, h) => h)).Web;
        foreach (var (azimuth, expected) in new[] { (90, 90), (180, 180), (270, 270), (0, 180), (45, 135), (315, 225) })
        {
            Assert.Equal(expected, web.PeakCandela * web.At(0.5, azimuth * Math.PI / 180), 0.01);
        }

        web = Read(File("0 90 180 270 360", (_, h) => h == 360 ? 50 : 50 + h)).Web;
        foreach (var (azimuth, expected) in new[] { (0, 50), (270, 320), (315, 185), (-45, 185) })
        {
            Assert.Equal(expected, web.PeakCandela * web.At(0.5, azimuth * Math.PI / 180), 0.01);
        }
    }

    [Fact]
    public void Factors_multiply_as_their_year_has_it()
    {
        double Peak(string version) => Read(File("0", (_, _) => 100, version, numbers: "2 500 1.5", ballast: "0.9 0.8 100")).Web.PeakCandela;
        Rooms.Near(100 * 1.5 * 0.9 * 0.8, Peak("IESNA:LM-63-1995"), 1e-6);
        Rooms.Near(100 * 1.5 * 0.9 * 0.8, Peak("IESNA91"), 1e-6);
        Rooms.Near(100 * 1.5 * 0.9, Peak("IESNA:LM-63-2002"), 1e-6);
        Rooms.Near(100 * 1.5 * 0.9, Peak("IES:LM-63-2019"), 1e-6);
        Assert.Equal(1000, Read(File("0", (_, _) => 100, numbers: "2 500 1")).LampLumens);
        Assert.Null(Read(File("0", (_, _) => 100)).LampLumens);
    }

    // Type B (LM-63-2002, clause 3: planes share a horizontal axis): a spot at H = 30°, V = 0 lies on the beam's +X; type A alike at V = 0;
    // off both axes they part: direction of B at (30, 40) is (sin 30, cos 30·sin 40, cos 30·cos 40), of A (sin 30·cos 40, sin 40, cos 30·cos 40).
    [Theory]
    [InlineData("2", 0.5, 0.55667, 0.66341)]
    [InlineData("3", 0.38302, 0.64279, 0.66341)]
    public void Types_A_and_B_find_their_directions(string type, double x, double y, double axis)
    {
        const string angles = "-90 -80 -70 -60 -50 -40 -30 -20 -10 0 10 20 30 40 50 60 70 80 90";
        var web = Read(File(angles, (v, h) => v == 40 && h == 30 ? 1000 : 0, type: type, vertical: angles)).Web;
        var polar = Math.Acos(axis);
        var azimuth = Math.Atan2(y, x);
        Assert.True(web.PeakCandela * web.At(polar, azimuth) > 600, $"{web.PeakCandela * web.At(polar, azimuth)}");
        // The peak falls between the resampled directions and loses some of its height; its mirror images stay dark.
        Assert.Equal(0, web.At(polar, -azimuth));
        Assert.Equal(0, web.At(polar, Math.PI - azimuth));
    }

    [Fact]
    public void Tilt_factors_are_read_and_the_first_applied()
    {
        var text = File("0", (_, _) => 100).Replace("TILT=NONE", "TILT=INCLUDE\n1\n3\n0 45 90\n0.95 0.9 0.8", StringComparison.Ordinal);
        var file = Read(text);
        Assert.Equal(3, file.TiltFactors.Count);
        Rooms.Near(95, file.Web.PeakCandela, 1e-6);
        Assert.NotEmpty(file.Notes);
    }

    [Fact]
    public void Numbers_may_be_wrapped_and_parted_by_commas()
    {
        var wrapped = File("0", (_, _) => 100).Replace(" 30 40", ",30\r\n40", StringComparison.Ordinal);
        Rooms.Near(100, Read(wrapped).Web.PeakCandela, 1e-6);
    }

    [Fact]
    public void Each_fault_is_named_with_its_line()
    {
        Assert.Contains("TILT=", Refused("hello"), StringComparison.Ordinal);
        Assert.Contains("line 2: TILT=lamp.tlt", Refused("IESNA:LM-63-2002\nTILT=lamp.tlt\n1 2 3"), StringComparison.Ordinal);
        var good = File("0", (_, _) => 100);
        Assert.Contains("line 9", Refused(good.Replace("100 100 100\n", "100 100 x1\n", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains("cut short", Refused(good.Replace("1 -1 1 10 1", "1 -1 1 4000 4000", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains("must rise", Refused(good.Replace("0 10 20", "0 20 20", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains("photometric type 7", Refused(File("0", (_, _) => 100, type: "7")), StringComparison.Ordinal);
        Assert.Contains("zero", Refused(File("0", (_, _) => 0)), StringComparison.Ordinal);
        Assert.Contains("below zero", Refused(File("0", (_, _) => -5)), StringComparison.Ordinal);
        Assert.Contains("'1e400'", Refused(good.Replace("100 100 100\n", "100 100 1e400\n", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains("0 to 70", Refused(File("0 70", (_, _) => 5)), StringComparison.Ordinal);
    }

    [Fact]
    public void The_profile_of_a_web_has_its_angles_and_its_peak()
    {
        // Linear from 1 on the axis to 0 at 20°: 50 % at 10°, 10 % at 18°.
        var web = Read(File("0", (v, _) => Math.Max(0, 1000 * (1 - (v / 20))), vertical: "0 10 20 30 90")).Web;
        var profile = WebBuilder.Profile(web, new WebIndex(3));
        Rooms.Near(10, Angles.Degrees(profile.HalfBeamRadians), 1e-4);
        Rooms.Near(18, Angles.Degrees(profile.HalfFieldRadians), 1e-4);
        Rooms.Near(20, Angles.Degrees(profile.CutoffRadians), 1e-4);
        Rooms.Near(1000 / web.Lumens, profile.CandelaPerLumen, 1e-5);
        Assert.Equal(new WebIndex(3), profile.Web);
    }

    // Seeded damage to a good file: never an exception, always an answer.
    [Fact]
    public void Damaged_files_never_throw()
    {
        var good = Encoding.Latin1.GetBytes(File("0 45 90", (v, h) => 100 + v + h));
        var r = new Random(9);
        var read = 0;
        for (var k = 0; k < 3000; k++)
        {
            var bad = good.ToArray();
            for (var n = r.Next(1, 6); n > 0; n--)
            {
                bad[r.Next(bad.Length)] = (byte)(r.Next(3) == 0 ? r.Next(256) : "0123456789.-e \n"[r.Next(15)]);
            }

            var cut = r.Next(2) == 0 ? bad : bad[..r.Next(bad.Length)];
            if (IesReader.TryParse(cut, "x", out var file, out var why))
            {
                read++;
                Assert.True(float.IsFinite(file!.Web.Lumens));
                Assert.True(double.IsFinite(file.Web.At(0.3, 1)));
            }
            else
            {
                Assert.NotEmpty(why.Reason);
            }
        }

        Assert.True(read > 10);
    }
}
