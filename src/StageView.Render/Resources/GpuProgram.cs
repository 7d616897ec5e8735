using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Render.Contexts;

namespace StageView.Render.Resources;

/// <summary>A linked vertex and fragment shader. Samplers and the view block are bound to fixed slots by name, see <see cref="Slots"/>.</summary>
internal sealed class GpuProgram : IDisposable
{
    private readonly GL _gl;
    private readonly Dictionary<string, int> _locations = [];

    public GpuProgram(GL gl, ShaderSource vertex, ShaderSource fragment, params ReadOnlySpan<string> defines)
    {
        _gl = gl;
        var v = Compile(ShaderType.VertexShader, vertex, defines);
        var f = Compile(ShaderType.FragmentShader, fragment, defines);
        Id = gl.CreateProgram();
        gl.AttachShader(Id, v);
        gl.AttachShader(Id, f);
        gl.LinkProgram(Id);
        Check(vertex.Name + " + " + fragment.Name);
        gl.DeleteShader(v);
        gl.DeleteShader(f);
        Slots.Bind(gl, Id);
        DrawingSteps.Made();
    }

    private GpuProgram(GL gl, ShaderSource compute, ReadOnlySpan<string> defines)
    {
        _gl = gl;
        var c = Compile(ShaderType.ComputeShader, compute, defines);
        Id = gl.CreateProgram();
        gl.AttachShader(Id, c);
        gl.LinkProgram(Id);
        Check(compute.Name);
        gl.DeleteShader(c);
        Slots.Bind(gl, Id);
        DrawingSteps.Made();
    }

    /// <summary>A compute program (contexts from 4.3 on only).</summary>
    public static GpuProgram Compute(GL gl, ShaderSource compute, params ReadOnlySpan<string> defines) => new(gl, compute, defines);

    public uint Id { get; }

    public void Use() => _gl.UseProgram(Id);

    public void Set(string name, float value) => _gl.Uniform1(At(name), value);

    public void Set(string name, int value) => _gl.Uniform1(At(name), value);

    public void Set(string name, int x, int y, int z, int w) => _gl.Uniform4(At(name), x, y, z, w);

    public void Set(string name, Vector2 value) => _gl.Uniform2(At(name), value.X, value.Y);

    public void Set(string name, Vector3 value) => _gl.Uniform3(At(name), value.X, value.Y, value.Z);

    public void Set(string name, Vector4 value) => _gl.Uniform4(At(name), value.X, value.Y, value.Z, value.W);

    /// <summary>A matrix of System.Numerics (row vectors) for GLSL (column vectors): the memory is the same.</summary>
    public unsafe void Set(string name, in Matrix4x4 value)
    {
        fixed (Matrix4x4* p = &value)
        {
            _gl.UniformMatrix4(At(name), 1, false, (float*)p);
        }
    }

    public void Dispose() => _gl.DeleteProgram(Id);

    private int At(string name)
    {
        if (!_locations.TryGetValue(name, out var location))
        {
            _locations[name] = location = _gl.GetUniformLocation(Id, name);
        }

        return location;
    }

    private uint Compile(ShaderType type, ShaderSource source, ReadOnlySpan<string> defines)
    {
        var shader = _gl.CreateShader(type);
        var text = ShaderText.Load(source, defines);
        _gl.ShaderSource(shader, type == ShaderType.ComputeShader ? text.Replace("#version 410 core", "#version 430 core", StringComparison.Ordinal) : text);
        _gl.CompileShader(shader);
        if (_gl.GetShader(shader, ShaderParameterName.CompileStatus) == 0)
        {
            throw new MachineCannotException($"the driver refuses the shader {source.Name}: {_gl.GetShaderInfoLog(shader).Trim()}");
        }

        return shader;
    }

    private void Check(string name)
    {
        if (_gl.GetProgram(Id, ProgramPropertyARB.LinkStatus) == 0)
        {
            throw new MachineCannotException($"the driver can't link {name}: {_gl.GetProgramInfoLog(Id).Trim()}");
        }
    }
}
