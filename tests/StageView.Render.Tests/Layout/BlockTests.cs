using System.Numerics;
using System.Reflection;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.RegularExpressions;
using Silk.NET.OpenGL;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Tests.Layout;

/// <summary>Blocks and structs in buffers: where the driver says that each member lies (OpenGL 4.6, section 7.3.1) is where the C# struct has it.</summary>
[Collection("gl")]
public sealed partial class BlockTests(Rendering gl)
{
    [Fact]
    public void The_view_block_lies_as_its_struct_does()
    {
        var found = Offsets(api => new GpuProgram(api, new ShaderSource("all", AllOfView), "shadow.frag"), GLEnum.Uniform, GLEnum.UniformBlock, "View",
            out var size);
        Assert.Equal(Marshal.SizeOf<ViewUniforms>(), size);
        Same(typeof(ViewUniforms), "", found);
    }

    [Theory]
    [InlineData("Hulls", "hulls", typeof(HullRow))]
    [InlineData("Corners", "corners", typeof(HullCorner))]
    [InlineData("Outlines", "outlines", typeof(HullOutline))]
    [InlineData("Tiles", "tiles", typeof(TileSpan))]
    public void A_buffer_of_structs_lies_as_its_struct_does(string block, string array, Type type)
    {
        // Each is used by one of the three.
        var found = new Dictionary<string, int>();
        var stride = 0;
        foreach (var kernel in new[] { "tiled/outlines.comp", "tiled/measure.comp", "tiled/lists.comp" })
        {
            foreach (var (name, offset) in Offsets(api => GpuProgram.Compute(api, kernel), GLEnum.BufferVariable, GLEnum.ShaderStorageBlock, block,
                out var size))
            {
                found[name] = offset;
                stride = size;
            }
        }

        Assert.NotEmpty(found);
        Assert.Equal(Marshal.SizeOf(type), stride);
        Same(type, array + "[0].", found);
    }

    [Fact]
    public void A_struct_that_a_shader_would_lay_out_otherwise_is_refused()
    {
        var e = Assert.Throws<InvalidOperationException>(() => ShaderStruct.Members(typeof(Askew)));
        Assert.Equal("Askew.Place lies at 4, where a shader would not look for it", e.Message);
        e = Assert.Throws<InvalidOperationException>(() => ShaderStruct.Rows(typeof(Askew), "askew", "askewRows"));
        Assert.Equal("Askew.Last lies in two rows", e.Message);
    }

    /// <summary>Rows and their columns are named, never counted: what is counted would stay when the struct changes.</summary>
    [Fact]
    public void No_shader_counts_rows_or_columns_by_itself()
    {
        var strays = new List<string>();
        var asked = 0;
        foreach (var file in Directory.EnumerateFiles(Repo.File("shaders"), "*", SearchOption.AllDirectories))
        {
            foreach (var line in File.ReadLines(file))
            {
                asked += Fetch().Count(line);
                if (Fetch().Matches(line).Any(m => !m.Value.EndsWith("_ROW)", StringComparison.Ordinal)) || RowPart().IsMatch(line) || Block().IsMatch(line))
                {
                    strays.Add($"{Path.GetRelativePath(Repo.File("shaders"), file)}: {line.Trim()}");
                }
            }
        }

        Assert.True(asked > 20, $"only {asked} reads of tables were found");
        Assert.Empty(strays);
    }

    private static void Same(Type type, string before, Dictionary<string, int> found)
    {
        foreach (var field in type.GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic))
        {
            var name = field.Name.TrimStart('<').Split('>')[0];
            name = before + char.ToLowerInvariant(name[0]) + name[1..];
            if (!name.EndsWith("spare", StringComparison.Ordinal))
            {
                Assert.True(found.TryGetValue(name, out var offset), $"the driver knows no {name}, only {string.Join(", ", found.Keys)}");
                Assert.True((int)Marshal.OffsetOf(type, field.Name) == offset, $"{name} lies at {offset}");
            }
        }
    }

    /// <summary>Members of a block by the driver's own word, bytes from its beginning; size is the block's or, of an array, of one of its items.</summary>
    private unsafe Dictionary<string, int> Offsets(Func<GL, GpuProgram> make, GLEnum members, GLEnum blocks, string block, out int size)
    {
        var context = gl.Renderer.Context;
        context.Enter();
        try
        {
            var api = context.Gl;
            using var program = make(api);
            var index = api.GetProgramResourceIndex(program.Id, (ProgramInterface)blocks, block);
            size = 0;
            var found = new Dictionary<string, int>();
            if (index == uint.MaxValue)
            {
                return found;
            }

            var storage = blocks == GLEnum.ShaderStorageBlock;
            size = storage ? 0 : Property(api, program.Id, blocks, index, GLEnum.BufferDataSize);
            int count;
            api.GetProgramInterface(program.Id, (ProgramInterface)members, ProgramInterfacePName.ActiveResources, &count);
            var text = stackalloc byte[256];
            for (uint i = 0; i < count; i++)
            {
                if (Property(api, program.Id, members, i, GLEnum.BlockIndex) != (int)index)
                {
                    continue;
                }

                uint length;
                api.GetProgramResourceName(program.Id, (ProgramInterface)members, i, 256, &length, text);
                found[Encoding.ASCII.GetString(text, (int)length)] = Property(api, program.Id, members, i, GLEnum.Offset);
                size = storage ? Property(api, program.Id, members, i, GLEnum.TopLevelArrayStride) : size;
            }

            return found;
        }
        finally
        {
            context.Leave();
        }
    }

    private static unsafe int Property(GL api, uint program, GLEnum of, uint index, GLEnum what)
    {
        int value;
        api.GetProgramResource(program, (ProgramInterface)of, index, 1, (ProgramResourceProperty*)&what, 1, null, &value);
        return value;
    }

    /// <summary>A shader in which each member of the view block counts, so that the driver keeps all.</summary>
    private static string AllOfView => $$"""
        #include "layout/view.glsl"
        void main() {
          gl_Position = viewProjection * (eye + rayRight + rayUp + rayForward + face)
            + vec4(extinction + scattering + anisotropy + unevenness + patchesPerMetre + nothing + pixelAngle + workLight + seed)
            + vec4(drift, 1.0) + vec4(size, perPixel);
        }
        """;

    [GeneratedRegex(@"texelFetch\((beamRows|sourceRows),[^;]*?\)(?=[.,;) ]|$)")]
    private static partial Regex Fetch();

    [GeneratedRegex(@"Row\.[xyzwrgba]")]
    private static partial Regex RowPart();

    [GeneratedRegex(@"uniform View \{|^\s*struct (Hull|Outline|Tile|HullCorner)\b|\b(BEAM|CASTER|LASER|SURFACE|SOURCE)_ROWS\s*=")]
    private static partial Regex Block();

    [StructLayout(LayoutKind.Sequential)]
    private struct Askew
    {
        public float First;
        public Vector3 Place;
        public Vector2 Middle;
        public Vector3 Last;
        public float Spare1;
        public float Spare2;
        public float Spare3;
    }
}
