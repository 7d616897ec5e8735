using System.Numerics;
using System.Text;

namespace StageView.Light.Tests.Measure;

/// <summary>Pictures of POV-Ray 3.7 as numbers; tests skip where it isn't installed.</summary>
internal static class PovPicture
{
    /// <summary>Renders a scene file: pixels by rows from the bottom, 1 where the file's value is the highest.</summary>
    public static Vector3[] Render(string scene, int width, int height)
    {
        using var folder = new TempFolder();
        Tools.Run("povray", $"+I{scene}", $"+O{folder["out.ppm"]}", "+FP16", "File_Gamma=1", $"+W{width}", $"+H{height}", "-D", "-A", "+WT2", "-GA");
        return Read(File.ReadAllBytes(folder["out.ppm"]), width, height);
    }

    /// <summary>A PPM picture of 16 bits, big-endian, rows from the top.</summary>
    private static Vector3[] Read(byte[] file, int width, int height)
    {
        var at = 0;
        var words = new List<string>();
        while (words.Count < 4)
        {
            var line = new StringBuilder();
            for (; file[at] != (byte)'\n'; at++)
            {
                line.Append((char)file[at]);
            }

            at++;
            words.AddRange(line.ToString().StartsWith('#') ? [] : line.ToString().Split(' ', StringSplitOptions.RemoveEmptyEntries));
        }

        Assert.Equal(["P6", $"{width}", $"{height}", "65535"], words);
        var pixels = new Vector3[width * height];
        for (var i = 0; i < pixels.Length; i++)
        {
            var p = at + (6 * i);
            pixels[((height - 1 - (i / width)) * width) + (i % width)] =
                new Vector3((file[p] << 8) | file[p + 1], (file[p + 2] << 8) | file[p + 3], (file[p + 4] << 8) | file[p + 5]) / 65535;
        }

        return pixels;
    }
}
