using StageView.Ground.Files;

namespace StageView.Ground.Tests.Files;

public sealed class StoragePointerTests
{
    /// <summary>The example of git-lfs, docs/spec.md.</summary>
    private const string Example = """
        version https://git-lfs.github.com/spec/v1
        oid sha256:4d7a214614ab2935c943f9e0ff69d22eadbb8f32b1258daaa5e2ca24d17e2393
        size 12345

        """;

    [Fact]
    public void A_pointer_in_place_of_a_file_is_told_as_one()
    {
        using var folder = new TempFolder();
        var (pointer, other) = (folder.File("head.gdtf", Example), folder.File("other.txt", "version 1"));
        Assert.False(BoundedFile.TryRead(pointer, 1000, out var bytes, out var why));
        Assert.Null(bytes);
        Assert.Contains("git lfs pull", why, StringComparison.Ordinal);
        Assert.True(StoragePointer.IsAt(pointer));
        Assert.True(BoundedFile.TryRead(other, 1000, out _, out _));
        Assert.False(StoragePointer.IsAt(other));
    }
}
