using System.Buffers.Binary;
using System.Text;
using StageView.Light.Moments;
using StageView.Rig.Archives;
using StageView.Rig.ModelReaders;

namespace StageView.Rig.Tests.ModelReaders;

/// <summary>glTF files that ask for too much or don't hold together are refused in words of our own, with the place.</summary>
public sealed class GltfCheckTests
{
    [Fact]
    public void A_sound_file_is_read() => Assert.Equal(3, Read(Nodes("{\"mesh\":0}"))!.Indices.Length);

    [Fact]
    public void Twenty_thousand_nested_nodes_are_refused() => Refused(
        Nodes([.. Enumerable.Range(0, 19_999).Select(i => $"{{\"children\":[{i + 1}]}}"), "{\"mesh\":0}"]), "nodes[64] lies deeper than 64 levels");

    [Fact]
    public void Nodes_under_themselves_are_refused() =>
        Refused(Nodes("{\"children\":[1]}", "{\"children\":[0],\"mesh\":0}"), "nodes[0] lies deeper than 64 levels, or under itself");

    [Fact]
    public void More_nodes_than_are_read_are_refused() => Refused(Nodes([.. Enumerable.Repeat("{}", 20_001)]), "nodes holds 20001: at most 20000");

    [Fact]
    public void A_node_under_two_others_is_refused() =>
        Refused(Nodes("{\"children\":[2]}", "{\"children\":[2]}", "{\"mesh\":0}"), "nodes[2] is a child of nodes[0] and of nodes[1]");

    [Theory]
    [InlineData("\"mesh\":0", "\"mesh\":7", "nodes[0].mesh names number 7, but there are 1")]
    [InlineData("\"bufferView\":0", "\"bufferView\":7", "accessors[0].bufferView names number 7, but there are 1")]
    [InlineData("\"POSITION\":0", "\"POSITION\":7", "meshes[0].primitives[0] names number 7, but there are 1")]
    [InlineData("\"count\":3", "\"count\":4", "accessors[0] needs 48 bytes of bufferViews[0], which holds 36")]
    [InlineData("\"byteLength\":36}],\"buffers\"", "\"byteLength\":37}],\"buffers\"", "bufferViews[0] ends at byte 37 of buffers[0], which holds 36")]
    [InlineData("\"buffers\":[{", "\"buffers\":[{\"uri\":\"far.bin\",", "buffers[0] refers to another file, far.bin")]
    [InlineData("\"asset\":", "\"asset\"", "its JSON part is not valid: line 1, byte 9")]
    [InlineData("\"primitives\":[{", "\"primitives\":[4,{", "meshes[0].primitives[0] is no object")]
    [InlineData("\"accessors\":[{", "\"accessors\":[[],{", "accessors[0] is no object")]
    [InlineData("\"nodes\":[{", "\"nodes\":[{},7,{", "nodes[1] is no object")]
    [InlineData("\"VEC3\"", "\"\\udc00\"", "its JSON part holds a text that is not valid UTF-8")]
    public void What_does_not_hold_together_is_told_with_its_place(string sound, string broken, string says) =>
        Refused(Glb(Document("{\"mesh\":0}").Replace(sound, broken, StringComparison.Ordinal)), says);

    [Fact]
    public void Text_that_is_no_unicode_is_refused()
    {
        var bytes = Glb(Document("{\"mesh\":0}"));
        bytes[bytes.AsSpan().IndexOf("VEC3"u8)] = 0xC3;
        Refused(bytes, "its JSON part holds a text that is not valid UTF-8");
    }

    [Fact]
    public void Triangles_are_counted_before_any_is_made()
    {
        var many = Document([.. Enumerable.Repeat("{\"mesh\":0}", 4)]).Replace("\"bufferView\":0,", "", StringComparison.Ordinal)
            .Replace("\"count\":3", "\"count\":700000", StringComparison.Ordinal);
        Refused(Glb(many), "with nodes[3] it holds more than 750000 triangles");
    }

    [Fact]
    public void Values_and_levels_of_the_json_are_bounded()
    {
        Refused(Glb($"{{\"asset\":{{\"version\":\"2.0\"}},\"extras\":[{string.Join(',', Enumerable.Repeat("0", 1_000_001))}]}}"), "more than 1000000 values");
        Refused(Glb(new string('[', 100_000)), "nested deeper than 64 levels");
    }

    [Fact]
    public void A_container_that_was_cut_short_is_refused() => Refused(Nodes("{\"mesh\":0}")[..^8], "it was cut short");

    [Fact]
    public void The_triangles_of_all_models_are_counted()
    {
        var budget = new ArchiveBudget();
        Assert.True(budget.Triangles(ArchiveBudget.MaxTriangles));
        Assert.False(budget.Triangles(1));
    }

    private static SceneMesh? Read(byte[] bytes) => ModelFiles.TryRead(bytes, "glb", "m.glb", out _);

    private static void Refused(byte[] bytes, string says)
    {
        Assert.Null(ModelFiles.TryRead(bytes, "glb", "m.glb", out var why));
        Assert.StartsWith("m.glb can't be read as glTF: ", why, StringComparison.Ordinal);
        Assert.Contains(says, why, StringComparison.Ordinal);
    }

    private static byte[] Nodes(params string[] nodes) => Glb(Document(nodes));

    private static string Document(params string[] nodes) => "{\"asset\":{\"version\":\"2.0\"},\"scene\":0,\"scenes\":[{\"nodes\":[0]}],"
        + $"\"nodes\":[{string.Join(',', nodes)}],\"meshes\":[{{\"primitives\":[{{\"attributes\":{{\"POSITION\":0}}}}]}}],"
        + "\"accessors\":[{\"bufferView\":0,\"componentType\":5126,\"count\":3,\"type\":\"VEC3\",\"min\":[0,0,0],\"max\":[1,1,0]}],"
        + "\"bufferViews\":[{\"buffer\":0,\"byteLength\":36}],\"buffers\":[{\"byteLength\":36}]}";

    /// <summary>The container of glTF 2.0 §4.4: magic, version, length; then chunks of length and kind.</summary>
    private static byte[] Glb(string document)
    {
        var json = Encoding.UTF8.GetBytes(document.PadRight((document.Length + 3) / 4 * 4));
        var bytes = new byte[20 + json.Length + 8 + 36];
        Span<uint> head = [0x46546C67, 2, (uint)bytes.Length, (uint)json.Length, 0x4E4F534A];
        for (var i = 0; i < head.Length; i++)
        {
            BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(4 * i), head[i]);
        }

        json.CopyTo(bytes, 20);
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(20 + json.Length), 36);
        BinaryPrimitives.WriteUInt32LittleEndian(bytes.AsSpan(24 + json.Length), 0x004E4942);
        BinaryPrimitives.WriteSingleLittleEndian(bytes.AsSpan(28 + json.Length + 12), 1);
        BinaryPrimitives.WriteSingleLittleEndian(bytes.AsSpan(28 + json.Length + 28), 1);
        return bytes;
    }
}
