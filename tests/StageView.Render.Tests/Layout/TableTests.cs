using System.Globalization;
using System.Numerics;
using System.Reflection;
using System.Runtime.InteropServices;
using System.Text;
using Silk.NET.OpenGL;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Tests.Layout;

/// <summary>Tables of rows: a shader finds under a column's name what C# wrote under it.</summary>
[Collection("gl")]
public sealed class TableTests(Rendering gl)
{
    public static TheoryData<string> Tables => [.. ShaderLayouts.Tables.Select(t => t.File)];

    [Theory]
    [MemberData(nameof(Tables))]
    public unsafe void A_shader_reads_each_column_where_the_struct_has_it(string file)
    {
        var (_, type, name, table) = ShaderLayouts.Tables.Single(t => t.File == file);
        var floats = Marshal.SizeOf(type) / sizeof(float);

        // Three groups, each float another number; the last group is asked for.
        var numbers = Enumerable.Range(0, 3 * floats).Select(i => i + 0.5f).ToArray();
        object written;
        fixed (float* last = &numbers[2 * floats])
        {
            written = Marshal.PtrToStructure((nint)last, type)!;
        }

        var columns = ShaderStruct.Columns(type);
        var expected = columns.SelectMany(c => Numbers(Of(written, c.Name))).ToArray();

        Assert.Equal(expected, Read(Straight(columns, name), file, table, numbers, expected.Length));
        var rows = columns.Where(c => c.Type != "mat4").ToArray();
        var inRows = rows.SelectMany(c => Numbers(Of(written, c.Name))).ToArray();
        Assert.Equal(inRows, Read(ByRow(rows, name, table), file, table, numbers, inRows.Length));
    }

    /// <summary>Columns straight from the table.</summary>
    private static string Straight(IReadOnlyList<Column> columns, string name)
    {
        var text = new StringBuilder();
        var at = 0;
        foreach (var c in columns)
        {
            text.Append(CultureInfo.InvariantCulture, $"{{ {c.Type} v = {name}{c.Name}Of(2 * ROWS); ");
            Store(text, c, ref at);
        }

        return text.ToString();
    }

    /// <summary>Columns by their row's variable, each row's named after the column that it begins with.</summary>
    private static string ByRow(IReadOnlyList<Column> columns, string name, string table)
    {
        var text = new StringBuilder();
        foreach (var first in columns.GroupBy(c => c.Row).Select(g => g.First()))
        {
            text.Append(CultureInfo.InvariantCulture, $"vec4 {name}{first.Name}Row = texelFetch({table}, 2 * ROWS + {first.Row});\n");
        }

        var at = 0;
        foreach (var c in columns)
        {
            text.Append(CultureInfo.InvariantCulture, $"{{ {c.Type} v = {name}{c.Name}; ");
            Store(text, c, ref at);
        }

        return text.ToString();
    }

    private static void Store(StringBuilder text, Column c, ref int at)
    {
        var count = c.Bytes / sizeof(float);
        for (var i = 0; i < count; i++)
        {
            var part = c.Type switch
            {
                "float" => "v",
                "mat4" => $"v[{i / 4}][{i % 4}]",
                _ => $"v[{i}]",
            };
            text.Append(CultureInfo.InvariantCulture, $"found[{at++}] = {part}; ");
        }

        text.Append("}\n");
    }

    private unsafe float[] Read(string body, string file, string table, float[] numbers, int count)
    {
        var context = gl.Renderer.Context;
        context.Enter();
        try
        {
            var api = context.Gl;
            var rows = numbers.Length / 3 * sizeof(float) / ShaderStruct.RowBytes;
            using var program = GpuProgram.Compute(api, new ShaderSource("columns", string.Create(CultureInfo.InvariantCulture, $$"""
                layout(local_size_x = 1) in;
                #include "{{file}}"
                #define ROWS {{rows}}
                uniform samplerBuffer {{table}};
                layout(std430, binding = 0) buffer Found { float found[]; };
                void main() {
                {{body}}
                }
                """)));
            using var held = new GpuTable(api);
            using var found = new GpuBuffer(api, BufferTargetARB.ShaderStorageBuffer);
            held.Fill<float>(numbers);
            found.Reserve(count * sizeof(float));
            program.Use();
            program.Set(table, Slots.SourceRows);
            held.Bind(Slots.SourceRows);
            api.BindBufferRange(BufferTargetARB.ShaderStorageBuffer, 0, found.Id, 0, (nuint)(count * sizeof(float)));
            api.DispatchCompute(1, 1, 1);
            api.MemoryBarrier(MemoryBarrierMask.BufferUpdateBarrierBit);
            var read = new float[count];
            fixed (float* p = read)
            {
                found.Bind();
                api.GetBufferSubData(BufferTargetARB.ShaderStorageBuffer, 0, (nuint)(count * sizeof(float)), p);
            }

            return read;
        }
        finally
        {
            context.Leave();
        }
    }

    /// <summary>A field by a column's name, which is made of the names on the way to it.</summary>
    private static object Of(object from, string name)
    {
        foreach (var field in from.GetType().GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic))
        {
            var plain = field.Name.TrimStart('<').Split('>')[0];
            if (plain == name)
            {
                return field.GetValue(from)!;
            }

            if (name.StartsWith(plain, StringComparison.Ordinal) && field.FieldType.Namespace == typeof(Column).Namespace)
            {
                return Of(field.GetValue(from)!, name[plain.Length..]);
            }
        }

        throw new InvalidOperationException($"{from.GetType().Name} has no {name}");
    }

    private static float[] Numbers(object value) => value switch
    {
        float f => [f],
        Vector2 v => [v.X, v.Y],
        Vector3 v => [v.X, v.Y, v.Z],
        Vector4 v => [v.X, v.Y, v.Z, v.W],
        Matrix4x4 m => [m.M11, m.M12, m.M13, m.M14, m.M21, m.M22, m.M23, m.M24, m.M31, m.M32, m.M33, m.M34, m.M41, m.M42, m.M43, m.M44],
        BeamCurve c => [c.Scale, c.HalfExponent, c.InnerTanSquared, c.WebFirstRow],
        _ => throw new InvalidOperationException(value.GetType().Name),
    };
}
