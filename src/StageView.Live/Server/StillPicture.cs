using System.Text;
using System.Text.Json;
using SkiaSharp;
using StageView.Ground.Png;
using StageView.Live.Terms;
using StageView.Show.Notes;

namespace StageView.Live.Server;

/// <summary>A picture to share, with what it shows inside it: words under Description, and all of its data under the keyword below.</summary>
internal static class StillPicture
{
    public const string Keyword = "StageView moment";

    /// <param name="picture">What the page was sent last.</param>
    /// <param name="rig">Its name.</param>
    /// <param name="state">What was shown.</param>
    /// <param name="camera">What it was seen from.</param>
    /// <param name="levels">Of each universe heard, 512 bytes.</param>
    /// <returns>A PNG file.</returns>
    public static byte[] Png(Picture picture, string rig, ShowState state, KeptCamera camera, IReadOnlyList<(int Universe, byte[] Levels)> levels)
    {
        var plain = Plain(picture);
        var words = $"{rig}, {(state.Timecode is { } t ? t + ", " : "")}{state.SourceName}, {NotesList.Camera(camera)}";
        var data = JsonSerializer.Serialize(new
        {
            rig, state.Source, state.SourceName, seconds = Math.Round(state.Seconds, 3), state.Timecode, camera,
            standing = state.Network.Standing.Text, levels = levels.ToDictionary(l => l.Universe, l => Convert.ToHexStringLower(l.Levels)),
        }, LiveJson.Options);
        using var file = new MemoryStream(plain.Length + data.Length + 1000);
        var afterHeader = PngChunks.Signature.Length + 25;
        file.Write(plain.AsSpan(0, afterHeader));
        PngChunks.Write(file, "iTXt"u8, Text("Description", words));
        PngChunks.Write(file, "iTXt"u8, Text(Keyword, data));
        file.Write(plain.AsSpan(afterHeader));
        return file.ToArray();
    }

    /// <summary>International text (PNG, third edition, clause 11.3.3.4): keyword, not compressed, of no language, with no translation.</summary>
    private static byte[] Text(string keyword, string text) => [.. Encoding.Latin1.GetBytes(keyword), 0, 0, 0, 0, 0, .. Encoding.UTF8.GetBytes(text)];

    private static unsafe byte[] Plain(Picture picture)
    {
        fixed (byte* pixels = picture.Rgba)
        {
            using var map = new SKPixmap(
                new SKImageInfo(picture.Width, picture.Height, SKColorType.Rgba8888, SKAlphaType.Opaque), (nint)pixels, picture.Width * 4);
            using var packed = map.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 6))
                ?? throw new InvalidOperationException($"a {picture.Width}x{picture.Height} picture could not be packed as PNG");
            return packed.ToArray();
        }
    }
}
