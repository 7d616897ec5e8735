using SharpGLTF.Schema2;

namespace StageView.Rig.ModelReaders;

/// <summary>Decodes the images that a glTF file brings or names; each that can't be had is told once.</summary>
internal sealed class GltfPictures
{
    private const int MaxBytes = 64 << 20;
    private readonly string _name;
    private readonly GltfMaterials _materials;
    private readonly ModelRoot _model;
    private readonly ModelContext _around;

    public GltfPictures(string name, GltfMaterials materials, ModelRoot model, ModelContext around)
    {
        (_name, _materials, _model, _around) = (name, materials, model, around);
    }

    /// <summary>Size and linear pixels, or null.</summary>
    public (int Size, byte[] Rgb)? Decode(int image)
    {
        if (image >= _materials.Images.Count)
        {
            _around.Told?.Invoke($"{_name}: there is no image {image}; it is drawn without");
            return null;
        }

        var i = _materials.Images[image];
        var called = i.Uri.Length == 0 || i.Uri.StartsWith("data:", StringComparison.Ordinal) ? $"image {image}" : i.Uri;
        var bytes = Bytes(i);
        if (bytes is null || bytes.Length > MaxBytes)
        {
            var wrong = bytes is null ? "is not there" : $"is larger than {MaxBytes >> 20} MiB";
            _around.Told?.Invoke($"{_name}: its picture {called} {wrong}; it is drawn without");
            return null;
        }

        if (_around.Decode is not { } decode)
        {
            return null;
        }

        if (decode(bytes, out var size, out var rgb, out var why))
        {
            return (size, rgb);
        }

        _around.Told?.Invoke($"{_name}: its picture {called} can't be used: {why}; it is drawn without");
        return null;
    }

    private byte[]? Bytes(GltfImage image)
    {
        if (image.BufferView >= 0)
        {
            return image.BufferView < _model.LogicalBufferViews.Count ? [.. _model.LogicalBufferViews[image.BufferView].Content] : null;
        }

        if (image.Uri.StartsWith("data:", StringComparison.Ordinal))
        {
            var comma = image.Uri.IndexOf(',', StringComparison.Ordinal);
            var bytes = new byte[image.Uri.Length];
            return comma > 0 && Convert.TryFromBase64String(image.Uri[(comma + 1)..], bytes, out var count) ? bytes[..count] : null;
        }

        return image.Uri.Length == 0 ? null : _around.Beside?.Invoke(image.Uri);
    }
}
