using System.Globalization;
using System.Text;
using StageView.Light.Photometry;
using StageView.Light.Photometry.Eulumdat;

namespace StageView.Light.Tests.Photometry.Eulumdat;

public sealed class EulumdatReaderTests
{
    /// <summary>A made file: planes of 30°, five G-angles, an intensity for each plane's C-angle.</summary>
    private static string File(int symmetry, Func<double, double> intensity, string flux = "2000")
    {
        var c = Enumerable.Range(0, 12).Select(i => i * 30.0).ToArray();
        double[] stored = symmetry switch
        {
            0 => c,
            1 => [0],
            2 => [0, 30, 60, 90, 120, 150, 180],
            3 => [270, 300, 330, 0, 30, 60, 90],
            _ => [0, 30, 60, 90],
        };
        var lines = new List<string> { "maker", "1", symmetry.ToString(CultureInfo.InvariantCulture), "12", "30", "5", "22.5", "report", "name", "no", "file",
            "today" };
        lines.AddRange(["100", "100", "50", "90", "90", "0", "0", "0", "0", "100", "80", "1,0", "0", "1"]);
        lines.AddRange(["1", "lamp", flux, "840", "80", "25"]);
        lines.AddRange(Enumerable.Repeat("0.5", 10));
        lines.AddRange(c.Select(x => x.ToString(CultureInfo.InvariantCulture)));
        lines.AddRange(["0", "22,5", "45", "67.5", "90"]);
        foreach (var plane in stored)
        {
            lines.AddRange(Enumerable.Repeat(intensity(plane).ToString(CultureInfo.InvariantCulture), 5));
        }

        return string.Join("\r\n", lines) + "\r\n";
    }

    private static PhotometricWeb Read(string text)
    {
        Assert.True(EulumdatReader.TryParse(Encoding.Latin1.GetBytes(text), "test", out var file, out var why), why.ToString());
        return file!.Web;
    }

    private static double At(PhotometricWeb web, double azimuth) => web.PeakCandela * web.At(0.7, azimuth * Math.PI / 180);

    [Fact]
    public void Intensities_are_per_thousand_lumens_of_the_lamps()
    {
        var web = Read(File(1, _ => 150));
        Rooms.Near(300, web.PeakCandela, 1e-6);
        // Half a sphere of 300 cd: 2π·300 lm.
        Rooms.Near(600 * Math.PI, web.Lumens, 1e-5);
    }

    [Fact]
    public void No_symmetry()
    {
        var web = Read(File(0, c => 100 + c));
        Assert.Equal(200, At(web, 0), 0.01);
        Assert.Equal(860, At(web, 330), 0.01);
        Assert.Equal(530, At(web, 345), 0.01);
    }

    [Fact]
    public void Symmetric_about_C0_C180()
    {
        var web = Read(File(2, c => 100 + c));
        Assert.Equal(320, At(web, 60), 0.01);
        Assert.Equal(320, At(web, 300), 0.01);
        Assert.Equal(560, At(web, 180), 0.01);
    }

    [Fact]
    public void Symmetric_about_C90_C270()
    {
        var web = Read(File(3, c => c >= 270 ? c - 270 : c + 90));
        // Stored: C270 = 0, C300 = 30, C0 = 90, C90 = 180; C180 mirrors C0, C210 mirrors C330.
        Assert.Equal(0, At(web, 270), 0.01);
        Assert.Equal(180, At(web, 0), 0.01);
        Assert.Equal(360, At(web, 90), 0.01);
        Assert.Equal(180, At(web, 180), 0.01);
        Assert.Equal(120, At(web, 210), 0.01);
        Assert.Equal(120, At(web, 330), 0.01);
    }

    [Fact]
    public void Symmetric_in_quadrants()
    {
        var web = Read(File(4, c => 100 + c));
        foreach (var a in new[] { 30, 150, 210, 330 })
        {
            Assert.Equal(260, At(web, a), 0.01);
        }
    }

    [Fact]
    public void Faults_are_named_with_their_line()
    {
        var good = File(1, _ => 150);
        Assert.False(EulumdatReader.TryParse(Encoding.Latin1.GetBytes(good[..^20]), "t", out _, out var why));
        Assert.Contains("the file ends where the intensity", why.ToString(), StringComparison.Ordinal);
        Assert.False(EulumdatReader.TryParse(Encoding.Latin1.GetBytes(good.Replace("maker\r\n1\r\n1\r\n", "maker\r\n1\r\n9\r\n", StringComparison.Ordinal)),
            "t", out _, out why));
        Assert.Equal("line 3: Isym 9: 0 to 4 expected", why.ToString());
        Assert.False(EulumdatReader.TryParse(Encoding.Latin1.GetBytes(good.Replace("22,5", "abc", StringComparison.Ordinal)), "t", out _, out why));
        Assert.Equal("line 56: 'abc' stands where the G-angle should", why.ToString());
        Assert.False(EulumdatReader.TryParse(Encoding.Latin1.GetBytes(File(1, _ => 150, "0")), "t", out _, out why));
        Assert.Contains("flux is 0 lm", why.ToString(), StringComparison.Ordinal);
        Assert.False(EulumdatReader.TryParse("x"u8, "t", out _, out why));
        Assert.Contains("the file ends", why.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Damaged_files_never_throw()
    {
        var good = Encoding.Latin1.GetBytes(File(0, c => 100 + c));
        var r = new Random(4);
        for (var k = 0; k < 2000; k++)
        {
            var bad = good.ToArray();
            for (var n = r.Next(1, 6); n > 0; n--)
            {
                bad[r.Next(bad.Length)] = (byte)(r.Next(3) == 0 ? r.Next(256) : "0123456789.-e \n"[r.Next(15)]);
            }

            if (EulumdatReader.TryParse(r.Next(2) == 0 ? bad : bad.AsSpan(0, r.Next(bad.Length)), "x", out var file, out var why))
            {
                Assert.True(double.IsFinite(file!.Web.At(0.3, 1)));
            }
            else
            {
                Assert.NotEmpty(why.Reason);
            }
        }
    }
}
