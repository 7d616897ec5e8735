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

    /// <returns>Lower-case hexadecimal.</returns>
    public string Of(Moment moment, Camera camera)
    {
        _tables ??= Convert.ToHexStringLower(SHA256.HashData(MomentBytes.WriteTables(moment)));
        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        sha.AppendData(Encoding.UTF8.GetBytes($"{_common}\n{_tables}\n{camera}\n"));
        var length = MomentBytes.Write(moment, ref _buffer);
        sha.AppendData(_buffer.AsSpan(0, length));
        return Convert.ToHexStringLower(sha.GetHashAndReset())[..32];
    }
}
