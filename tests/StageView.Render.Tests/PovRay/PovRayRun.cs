using System.Runtime.InteropServices;
using StageView.Render.Output;

namespace StageView.Render.Tests.PovRay;

/// <summary>Renders a scene with POV-Ray 3.7 (Debian: povray) and reads its OpenEXR picture with ffmpeg; skips the test where either is missing.</summary>
internal static class PovRayRun
{
    public static LinearImage Render(string scene, int width, int height)
    {
        var exr = Path.Combine(Repo.Out("povray"), Path.ChangeExtension(scene, ".exr"));
        File.Delete(exr);
        var folder = Repo.File("tests", "StageView.Render.Tests", "PovRay");
        Tools.Run("povray", $"+I{Path.Combine(folder, scene)}", $"+L{folder}", $"+O{exr}", "+FE", $"+W{width}", $"+H{height}", "-D", "-A",
            "+WT2", "-GA");

        var planes = MemoryMarshal.Cast<byte, float>(Tools.Bytes("ffmpeg", "-v", "error", "-i", exr, "-f", "rawvideo", "-pix_fmt", "gbrpf32le", "-"));
        var image = new LinearImage(width, height);
        var n = width * height;
        for (var i = 0; i < n; i++)
        {
            (image.Rgb[i * 3], image.Rgb[(i * 3) + 1], image.Rgb[(i * 3) + 2]) = (planes[(2 * n) + i], planes[i], planes[n + i]);
        }

        return image;
    }

    /// <summary>Both pictures side by side, ours at the left, under the same exposure.</summary>
    public static void KeepBoth(string name, LinearImage ours, LinearImage theirs, float ev)
    {
        var both = new LinearImage((ours.Width * 2) + 4, ours.Height);
        for (var y = 0; y < ours.Height; y++)
        {
            for (var x = 0; x < ours.Width; x++)
            {
                both[x, y] = ours[x, y];
                both[ours.Width + 4 + x, y] = theirs[x, y];
            }

            for (var x = 0; x < 4; x++)
            {
                both[ours.Width + x, y] = new System.Numerics.Vector3(1e6f);
            }
        }

        PngPicture.Write(Path.Combine(Repo.Out("povray"), name), both.Develop(new ToneCurve(ev)), small: true);
    }
}
