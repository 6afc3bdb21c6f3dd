#version 330 core

// The number of the triangle plus one, as four bytes. The highest is turned round, so that the
// background, which is cleared to (0, 0, 0, 255), reads 0.
out vec4 frag_color;

void main()
{
    uint number = uint(gl_PrimitiveID) + 1u;
    uvec4 bytes = uvec4(number, number >> 8, number >> 16, 255u - (number >> 24)) & 255u;
    frag_color = vec4(bytes) / 255.0;
}
