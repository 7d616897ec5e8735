using StageView.Render.Contexts;

namespace StageView.Render.Tests;

/// <summary>How many objects of each kind exist in a context, by asking for every name given so far.</summary>
internal readonly record struct LiveObjects(int Buffers, int Textures, int Framebuffers, int VertexArrays, int Programs)
{
    public static LiveObjects In(GlContext context)
    {
        context.Enter();
        try
        {
            var gl = context.Gl;
            return new LiveObjects(
                Count(gl.GenBuffer(), gl.DeleteBuffer, gl.IsBuffer), Count(gl.GenTexture(), gl.DeleteTexture, gl.IsTexture),
                Count(gl.GenFramebuffer(), gl.DeleteFramebuffer, gl.IsFramebuffer),
                Count(gl.GenVertexArray(), gl.DeleteVertexArray, gl.IsVertexArray), Count(gl.CreateProgram(), gl.DeleteProgram, gl.IsProgram));
        }
        finally
        {
            context.Leave();
        }
    }

    private static int Count(uint next, Action<uint> delete, Func<uint, bool> exists)
    {
        delete(next);
        var count = 0;

        // Some drivers give the lowest free name, others one that was never used: some room above finds those of either.
        for (uint name = 1; name < next + 256; name++)
        {
            count += exists(name) ? 1 : 0;
        }

        return count;
    }
}
