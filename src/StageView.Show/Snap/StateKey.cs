using System.Security.Cryptography;
using System.Text;
using StageView.Light.Moments;
using StageView.Render;
using StageView.Rig.Pieces;
using StageView.Show.Frames;
using StageView.Stage;

namespace StageView.Show.Snap;

/// <summary>
/// A digest of all that a picture is made from: every beam, pixel, mirror and piece of that moment, the haze and its time, the camera, the size, the style, who
/// draws, and the code that does. Two frames of one key have the same pixels; frames of the same pixels may have other keys, and are then drawn once more.
/// </summary>
internal sealed class StateKey
{
    private readonly string _common;
    private string? _tables;
    private byte[] _buffer = [];

    public StateKey(string renderer, string driver, FrameSize size, PictureStyle style) => _common = string.Join('\n',
        new[] { renderer, driver, $"{size.Width}x{size.Height}", style.ToString() }
            .Concat(new[] { typeof(Moment), typeof(FrameRenderer), typeof(RigScene), typeof(StageModel), typeof(StateKey) }
                .Select(t => t.Module.ModuleVersionId.ToString())));

    /// <summary>A digest of a moment, for all cameras.</summary>
    public string Of(Moment moment)
    {
        _tables ??= Convert.ToHexStringLower(SHA256.HashData(MomentBytes.WriteTables(moment)));
        var length = MomentBytes.Write(moment, ref _buffer);
        return $"{_tables}\n{Convert.ToHexStringLower(SHA256.HashData(_buffer.AsSpan(0, length)))}";
    }

    /// <param name="moment">Its digest.</param>
    /// <param name="camera">Who looks.</param>
    /// <returns>Lower-case hexadecimal.</returns>
    public string Of(string moment, Camera camera) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes($"{_common}\n{moment}\n{camera}")))[..32];
}
